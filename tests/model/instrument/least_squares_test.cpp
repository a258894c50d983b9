// Distributions against published tables; least squares against closed forms.
#include "model/instrument/least_squares.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <random>

#include "model/instrument/distributions.hpp"
#include "model/instrument/fit_parts.hpp"
#include "model/units/angle.hpp"
#include "tests/model/reference_rows.hpp"

namespace agonic::instrument {
namespace {

TEST(Distributions, HaveThePublishedPoints) {
  for (const auto& row : reference_rows("distributions.txt")) {
    const double p = std::stod(row[1]), dof1 = std::stod(row[2]), dof2 = std::stod(row[3]), point = std::stod(row[4]);
    const double half = 0.5 * std::pow(10, -static_cast<double>(row[4].size() - row[4].find('.') - 1));
    if (row[0] == "chi_square") {
      EXPECT_NEAR(chi_square_quantile(p, dof1), point, half) << p << ' ' << dof1;
      EXPECT_NEAR(chi_square_probability(chi_square_quantile(p, dof1), dof1), p, kProbabilityAccuracy);
    } else if (row[0] == "student") {
      EXPECT_NEAR(student_quantile(p, dof1), point, half) << p << ' ' << dof1;
    } else {
      EXPECT_GE(f_tail(point - half, dof1, dof2), 1 - p);
      EXPECT_LE(f_tail(point + half, dof1, dof2), 1 - p);
    }
  }
  // The square of Student's t is F with one degree of freedom in the numerator.
  for (const double dof : {1.0, 2.5, 7.0, 40.0, 1000.0})
    for (const double alpha : {0.3, 0.05, 0.0027, 1e-5}) {
      const double t = student_quantile(alpha, dof);
      EXPECT_NEAR(f_tail(t * t, 1, dof), alpha, kProbabilityAccuracy) << dof;
    }
  EXPECT_EQ(chi_square_probability(0, 3), 0);
  EXPECT_EQ(f_tail(0, 2, 3), 1);
}

std::vector<std::size_t> all(std::size_t n) {
  std::vector<std::size_t> out(n);
  std::iota(out.begin(), out.end(), std::size_t{0});
  return out;
}

// With headings equally spaced the coefficients are sums: A = sum y / n, B = 2 sum y sin m / n, ...; variances
// sigma^2 / n and 2 sigma^2 / n. The weighted mean has its own closed form.
TEST(LeastSquares, AgreeWithTheClosedForms) {
  std::mt19937 random(62);
  std::normal_distribution<double> noise(0, 3);
  for (const std::size_t n : {6u, 8u, 12u, 37u}) {
    std::vector<Equation> equations;
    double a = 0, b = 0, c = 0, d = 0, e = 0;
    for (std::size_t i = 0; i < n; ++i) {
      Observation o;
      o.magnetic_deg = 360.0 * static_cast<double>(i) / static_cast<double>(n);
      o.reading_deg = o.magnetic_deg + noise(random);
      o.sigma_deg = 0.4;
      equations.push_back(equation_of(o, 0, 5));
      const double y = o.index_deg(), by = 1 / static_cast<double>(n), m = o.magnetic_deg;
      a += y * by;
      b += 2 * by * y * sin_deg(m);
      c += 2 * by * y * cos_deg(m);
      d += 2 * by * y * sin_deg(2 * m);
      e += 2 * by * y * cos_deg(2 * m);
    }
    const Solution s = least_squares(equations, all(n));
    ASSERT_EQ(s.dof, static_cast<int>(n) - 5);
    const double expected[] = {a, b, c, d, e};
    for (int k = 0; k < 5; ++k) {
      EXPECT_NEAR(s.parameters(k), expected[k], 1e-12);
      EXPECT_NEAR(s.cofactor(k, k), (k == 0 ? 1 : 2) * 0.16 / static_cast<double>(n), 1e-12);
    }
    double sum = 0;
    for (const Equation& equation : equations) sum += std::pow(s.residual(equation) / 0.4, 2);
    EXPECT_NEAR(s.weighted_sum, sum, 1e-9);
  }
}

TEST(LeastSquares, WeighByTheSigmas) {
  std::vector<Equation> equations(3);
  const double values[] = {1, 2, 4}, sigmas[] = {1, 2, 0.5};
  double weights = 0, sum = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    equations[i].design.resize(1, 1);
    equations[i].design(0) = 1;
    equations[i].value = values[i];
    equations[i].sigma = sigmas[i];
    weights += 1 / (sigmas[i] * sigmas[i]);
    sum += values[i] / (sigmas[i] * sigmas[i]);
  }
  const Solution s = least_squares(equations, all(3));
  EXPECT_NEAR(s.parameters(0), sum / weights, 1e-14);
  EXPECT_NEAR(s.cofactor(0, 0), 1 / weights, 1e-14);
}

TEST(LeastSquares, SayWhenTheHeadingsDetermineNoCurve) {
  std::vector<Equation> equations;
  for (int i = 0; i < 12; ++i) {
    Observation o;
    o.magnetic_deg = i % 4 * 90;  // sin 2m is nothing at all of them
    equations.push_back(equation_of(o, 0, 5));
  }
  EXPECT_EQ(least_squares(equations, all(12)).dof, -1);
  EXPECT_EQ(least_squares(equations, {}).dof, -1);
  EXPECT_EQ(least_squares(equations, {0, 1}).dof, -1);
}

TEST(RobustLeastSquares, LeaveHalfOfTheObservationsAsideWithoutBeingMisled) {
  std::vector<Equation> equations(11);
  for (std::size_t i = 0; i < 11; ++i) {
    equations[i].design.resize(1, 1);
    equations[i].design(0) = 1;
    equations[i].value = i < 6 ? 1 + 0.1 * static_cast<double>(i) : 40.0 + static_cast<double>(i);
    equations[i].sigma = 0.5;
  }
  const RobustSolution robust = robust_least_squares(equations, all(11), false);
  EXPECT_NEAR(robust.solution.parameters(0), 1.25, 1e-12);
  for (std::size_t i = 0; i < 11; ++i) EXPECT_EQ(robust.used[i], i < 6) << i;
}

TEST(Headings, AreMeasuredAroundTheCircle) {
  EXPECT_EQ(largest_gap({10, 100, 350}), 250);
  EXPECT_EQ(largest_gap({350, 10}), 340);
  EXPECT_EQ(largest_gap({}), 360);
  EXPECT_EQ(headings_apart({0, 5, 9, 10, 355}), 2u);
  EXPECT_EQ(headings_apart({0, 90, 180, 270}), 4u);
}

// 355, 5, 15 have the mean 5, not 125 (teaching material on circular statistics): angles are averaged around the
// circle, never as numbers.
TEST(Agreement, TakesTheMiddleAcrossNorth) {
  const Agreement agreement = agreement_of({355, 5, 15, 120});
  EXPECT_EQ(agreement.centre_deg, 5);
  EXPECT_EQ(agreement.members, (std::vector<std::size_t>{0, 1, 2}));
  EXPECT_NEAR(std::abs(agreement_of({179, -179, 178}).centre_deg), 179, 1e-12);
}

}  // namespace
}  // namespace agonic::instrument
