// The spread of an index curve: against a sum of independent terms, written out.
#include "model/instrument/index_covariance.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace agonic::instrument {
namespace {

TEST(IndexCovariance, AConstantIsKnownEquallyWellAtEveryAzimuth) {
  for (double m : {0.0, 37.0, 180.0, 359.0}) EXPECT_DOUBLE_EQ(IndexCovariance::constant(0.3).sigma_at(m), 0.3);
}

TEST(IndexCovariance, FindsEachElementInEitherOrder) {
  std::size_t next = 0;
  for (std::size_t row = 0; row < 5; ++row)
    for (std::size_t column = row; column < 5; ++column, ++next) {
      EXPECT_EQ(IndexCovariance::at(row, column), next);
      EXPECT_EQ(IndexCovariance::at(column, row), next);
    }
  EXPECT_EQ(next, IndexCovariance().upper.size());
}

// var(x + y) = var x + var y + 2 cov: any text on adjustment computations. At 90 degrees the curve is A + B - E.
TEST(IndexCovariance, AddsCorrelationsWithTheirSigns) {
  IndexCovariance known;
  known.upper[IndexCovariance::at(0, 0)] = 0.09;
  known.upper[IndexCovariance::at(1, 1)] = 0.04;
  known.upper[IndexCovariance::at(4, 4)] = 0.01;
  known.upper[IndexCovariance::at(0, 1)] = -0.02;
  known.upper[IndexCovariance::at(1, 4)] = 0.005;
  EXPECT_NEAR(known.sigma_at(90), std::sqrt(0.09 + 0.04 + 0.01 - 2 * 0.02 - 2 * 0.005), 1e-12);
  EXPECT_NEAR(known.sigma_at(270), std::sqrt(0.09 + 0.04 + 0.01 + 2 * 0.02 + 2 * 0.005), 1e-12);
}

}  // namespace
}  // namespace agonic::instrument
