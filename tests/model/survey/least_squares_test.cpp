#include "model/survey/least_squares.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <tuple>
#include <vector>

namespace agonic::survey {
namespace {

using Term = NormalEquations::Term;
constexpr double kAny = std::numeric_limits<double>::infinity();

TEST(NormalEquations, AMeanIsTheMean) {
  // The oldest case of least squares: one unknown observed thrice, with weights.
  NormalEquations one(1);
  const std::vector<Term> x{{0, 1}};
  one.observe(x, 1, 1);
  one.observe(x, 2, 1);
  one.observe(x, 6, 2);
  EXPECT_NEAR((*one.solve(kAny))[0], 15.0 / 4, 1e-12);
}

TEST(NormalEquations, ResidualsStandSquareOnTheEquations) {
  // Whatever the network: A' W (A x - b) = 0, which defines the solution. Seeded random networks.
  for (unsigned seed = 1; seed <= 20; ++seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> value(-5, 5);
    const std::size_t n = 5 + seed * 3;
    NormalEquations normal(n);
    std::vector<std::tuple<std::vector<Term>, double, double>> all;
    const auto observe = [&](std::vector<Term> terms) {
      const double b = value(random), w = std::abs(value(random)) + 0.1;
      normal.observe(terms, b, w);
      all.emplace_back(std::move(terms), b, w);
    };
    observe({{random() % n, 1}});
    for (std::size_t i = 1; i < n; ++i) observe({{i, 1}, {random() % i, -1}});
    for (std::size_t i = 0; i < n; ++i)
      observe({{i, value(random)}, {(i + 1 + random() % (n - 1)) % n, value(random)}});
    const auto x = normal.solve(kAny);
    ASSERT_TRUE(x);
    std::vector<double> gradient(n, 0);
    for (const auto& [terms, b, w] : all) {
      double residual = -b;
      for (const auto& [i, a] : terms) residual += a * (*x)[i];
      for (const auto& [i, a] : terms) gradient[i] += w * a * residual;
    }
    for (const double g : gradient) EXPECT_NEAR(g, 0, 1e-8);
  }
}

TEST(NormalEquations, WhatIsNotFixedOrTooMuchWorkHasNoSolution) {
  NormalEquations loose(2);
  loose.observe(std::vector<Term>{{0, 1}, {1, -1}}, 3, 1);
  EXPECT_FALSE(loose.solve(kAny));
  NormalEquations free(2);
  free.observe(std::vector<Term>{{0, 2}}, 3, 1);
  EXPECT_EQ(*free.solve(kAny), (std::vector<double>{1.5, 0}));
  NormalEquations dense(50);
  for (std::size_t i = 0; i < 50; ++i)
    for (std::size_t j = 0; j <= i; ++j) dense.observe(std::vector<Term>{{i, 1}, {j, 0.5}}, 1, 1);
  EXPECT_TRUE(dense.solve(kAny));
  EXPECT_FALSE(dense.solve(1000));
}

TEST(NormalEquations, AChainInAnyOrderIsLittleWork) {
  // Ten thousand unknowns in a row, numbered at random: the new numbering brings them next to each other.
  const std::size_t n = 10000;
  std::vector<std::size_t> name(n);
  for (std::size_t i = 0; i < n; ++i) name[i] = i;
  std::shuffle(name.begin(), name.end(), std::mt19937(1));
  NormalEquations chain(n);
  chain.observe(std::vector<Term>{{name[0], 1}}, 1, 1);
  for (std::size_t i = 1; i < n; ++i) chain.observe(std::vector<Term>{{name[i], 1}, {name[i - 1], -1}}, 1, 1);
  const auto x = chain.solve(1e5);
  ASSERT_TRUE(x);
  EXPECT_NEAR((*x)[name[n - 1]], static_cast<double>(n), 1e-6);
}

}  // namespace
}  // namespace agonic::survey
