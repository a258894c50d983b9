// Index errors over the azimuth: evaluation against a published table, and the solution for the azimuth sighted.
#include "model/instrument/index_curve.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/model/reference_rows.hpp"

namespace agonic::instrument {
namespace {

// Reading minus truth, so the ship's coefficients with their signs turned.
TEST(IndexCurve, EvaluatesToThePublishedDeviationsWithTheSignTurned) {
  const IndexCurve curve{-1.000, -11.940, -7.960, -5.000, -1.500};
  for (const auto& row : reference_rows("ship_deviation.txt")) {
    const double heading = std::stod(row[0]);
    EXPECT_NEAR(-curve.at(heading), std::stod(row[1]), 0.08) << heading;
    EXPECT_NEAR(-curve.at(heading), std::stod(row[2]), 0.006) << heading;
  }
  // At 030 with the rounded coefficients: 19.008 degrees, worked independently.
  EXPECT_NEAR((IndexCurve{1, 12, 8, 5, 1.5}.at(30)), 19.008, 0.0005);
}

TEST(IndexCurve, IsSolvedForTheMagneticAzimuthNotTheReading) {
  const IndexCurve curve{1, 2, -1.5, 0.5, 0.25};
  std::mt19937 random(501);
  std::uniform_real_distribution<double> circle(0, 360);
  std::uniform_real_distribution<double> setting(-30, 30);
  for (int i = 0; i < 2000; ++i) {
    const double m = circle(random), set = setting(random);
    const auto solved = solve(curve, Azimuth<Circle>(m + set + curve.at(m)), {set});
    ASSERT_TRUE(solved);
    EXPECT_NEAR(wrap_180(solved->magnetic.degrees() - m), 0, 1e-10) << m;
    EXPECT_NEAR(solved->index.deg, curve.at(m), 1e-10);
  }
  // The reading as argument gives something else: 45 + index(45) is read, and index there is not index(45).
  const double read = 45 + IndexCurve{0, 10, 0, 0, 0}.at(45);
  EXPECT_GT(std::abs(IndexCurve{0, 10, 0, 0, 0}.at(read) - IndexCurve{0, 10, 0, 0, 0}.at(45)), 0.5);
  EXPECT_NEAR((solve({0, 10, 0, 0, 0}, Azimuth<Circle>(read), {0})->magnetic.degrees()), 45, 1e-10);
}

TEST(IndexCurve, IsTakenOffAsReadingMinusTruth) {
  const auto solved = solve({2, 0, 0, 0, 0}, Azimuth<Circle>(1), {0});
  ASSERT_TRUE(solved);
  EXPECT_EQ(solved->magnetic.degrees(), 359);
  EXPECT_EQ(solved->index.deg, 2);
}

TEST(IndexCurve, IsRefusedWhereItIsSteep) {
  EXPECT_TRUE(solve({0, 20, 0, 0, 0}, Azimuth<Circle>(10), {0}));
  EXPECT_FALSE(solve({0, 40, 0, 0, 0}, Azimuth<Circle>(10), {0}));
  EXPECT_FALSE(solve({0, 0, 0, 20, 0}, Azimuth<Circle>(10), {0}));
  EXPECT_TRUE(solve({170, 0, 0, 0, 0}, Azimuth<Circle>(10), {0}));  // large and constant is not steep
}

TEST(IndexCurve, ReadsOneNumberOrFive) {
  const auto constant = parse_index_curve(" -1.5 ");
  ASSERT_TRUE(constant);
  EXPECT_EQ(constant->a, -1.5);
  EXPECT_EQ(constant->largest(), 1.5);
  const auto five = parse_index_curve("1 2  3\t4 5");
  ASSERT_TRUE(five);
  EXPECT_EQ(five->b, 2);
  EXPECT_EQ(five->e, 5);
  EXPECT_EQ(parse_index_curve("0,5", ',')->a, 0.5);
  EXPECT_TRUE(parse_index_curve("0")->is_zero());
  for (const char* text : {"1 2", "1 2 3 4 5 6", "x", "", "1;2;3;4;5", "nan", "0,5"})
    EXPECT_FALSE(parse_index_curve(text)) << text;
  EXPECT_EQ(parse_index_curve("181").problem().code, Code::out_of_range);
}

}  // namespace
}  // namespace agonic::instrument
