// Vertical angles by reversal, instruments on one baseline, and repetition.
#include "model/instrument/reversal.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "model/instrument/baseline.hpp"
#include "model/instrument/repeatability.hpp"
#include "model/units/angle.hpp"

namespace agonic::instrument {
namespace {

// Formula: value from memory; numbers constructed: +6 20', -5 50' give e = +0 15', slope 6 05'.
TEST(Reversal, GivesIndexErrorAndSlope) {
  const ReversedPair pair{6 + 20.0 / 60, -(5 + 50.0 / 60)};
  const auto fit = fit_reversal(std::span(&pair, 1));
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->index_deg, 0.25, 1e-12);
  EXPECT_NEAR(fit->outcomes[0].slope_deg, 6 + 5.0 / 60, 1e-12);
  EXPECT_FALSE(fit->remarks.empty());
}

TEST(Reversal, NamesALostSignAndAGrossError) {
  const std::vector<ReversedPair> pairs{{6.3, -5.8},  {10.2, -9.8},   {-3.8, 4.2},
                                        {12.2, 11.9}, {12.25, -2.75}, {1, -0.5}};
  const auto fit = fit_reversal(pairs);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->index_deg, (0.25 + 0.2 + 0.2 + 0.25) / 4, 1e-12);
  EXPECT_EQ(fit->outcomes[3].blunder, Blunder::vertical_sign);
  EXPECT_EQ(fit->outcomes[4].blunder, Blunder::gross);
  EXPECT_EQ(fit->left_out, 2u);
  const ReversedPair alone{12.2, 11.9};
  EXPECT_FALSE(fit_reversal(std::span(&alone, 1)));
  // An index error so large that gentle lines read up both ways: the steep lines tell.
  const std::vector<ReversedPair> tilted{{13.1, -6.9}, {3.4, 2.5}, {9, -3.1}, {-11, 17}};
  EXPECT_EQ(fit_reversal(tilted)->left_out, 0u);
}

TEST(Reversal, CoversTheTruthInAThousandTrials) {
  std::mt19937 random(104);
  std::normal_distribution<double> noise(0, 0.3);
  std::uniform_real_distribution<double> slope(-20, 20);
  for (const std::size_t n : {1u, 4u, 10u}) {
    int within = 0;
    for (int trial = 0; trial < 1000; ++trial) {
      std::vector<ReversedPair> pairs;
      for (std::size_t i = 0; i < n; ++i) {
        const double s = slope(random);
        pairs.push_back({0.8 + s + noise(random), 0.8 - s + noise(random), 0.3, true});
      }
      const auto fit = fit_reversal(pairs);
      within += fit && std::abs(fit->index_deg - 0.8) <= 3 * fit->sigma_deg;
    }
    EXPECT_GE(within, 990) << n;
  }
}

// A complete two-way layout has a closed form: an instrument's offset is its mean minus the mean of all.
TEST(Baseline, AgreesWithTheClosedForm) {
  const double offsets[] = {0.4, -1.3, 0.9}, lines[] = {359.5, 120, 271};
  std::mt19937 random(7);
  std::normal_distribution<double> noise(0, 0.2);
  std::vector<BaselineReading> readings;
  double sums[3] = {}, sum = 0;
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      const double value = offsets[i] + noise(random);
      readings.push_back(
          {std::string(1, static_cast<char>('A' + i)), std::to_string(k), wrap_360(lines[k] + value), 0.2, true});
      sums[i] += value / 3;
      sum += value / 9;
    }
  const auto fit = fit_baseline(readings);
  ASSERT_TRUE(fit);
  ASSERT_EQ(fit->offsets.size(), 3u);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(fit->offsets[i].offset_deg, sums[i] - sum, 1e-9);
    EXPECT_EQ(fit->offsets[i].n, 3u);
    EXPECT_NEAR(fit->offsets[i].sigma_deg, 0.2 * std::sqrt(2.0 / 9), 0.06);
  }
  EXPECT_EQ(fit->dof, 4);
  EXPECT_EQ(fit->remarks.front().code, "instruments-differ");
}

TEST(Baseline, NamesMistakesAndNeedsCommonLines) {
  std::vector<BaselineReading> readings;
  for (const char* instrument : {"A", "B", "C", "D"})
    for (int line = 0; line < 5; ++line)
      readings.push_back({instrument, std::to_string(line), 40.0 + 65 * line + (*instrument == 'C' ? 0.8 : 0)});
  readings[7].magnetic_deg = wrap_360(readings[7].magnetic_deg + 180);
  readings[11].magnetic_deg = wrap_360(360 - readings[11].magnetic_deg);
  readings[18].magnetic_deg += 20;
  const auto fit = fit_baseline(readings);
  ASSERT_TRUE(fit);
  EXPECT_EQ(fit->outcomes[7].blunder, Blunder::wrong_end);
  EXPECT_EQ(fit->outcomes[11].blunder, Blunder::mirror_figures);
  EXPECT_EQ(fit->outcomes[18].blunder, Blunder::gross);
  EXPECT_NEAR(fit->offsets[2].offset_deg - fit->offsets[0].offset_deg, 0.8, 1e-9);
  EXPECT_EQ(fit->offsets[1].n, 4u);
  EXPECT_FALSE(fit_baseline(std::vector<BaselineReading>{{"A", "1", 10}, {"B", "2", 20}}));
  EXPECT_FALSE(fit_baseline(std::vector<BaselineReading>{{"A", "1", 10}, {"A", "2", 20}}));
}

// Two lines read three times, one across north: s^2 = (2 + 2) / 4 by hand.
TEST(Repeatability, PoolsWithinTheLinesAcrossNorth) {
  const std::vector<RepeatedReading> readings{{"a", 359}, {"a", 0},   {"a", 1}, {"b", 99},
                                              {"b", 100}, {"b", 101}, {"c", 7}};
  const auto result = repeatability(readings, 0.5);
  ASSERT_TRUE(result);
  EXPECT_EQ(result->lines, 2u);
  EXPECT_EQ(result->readings, 6u);
  EXPECT_EQ(result->dof, 4);
  EXPECT_NEAR(result->s_deg, 1, 1e-12);
  // Chi-square with 4 degrees of freedom at 95 percent: 9.488 (value from memory).
  EXPECT_NEAR(*result->limit_deg, 0.5 * std::sqrt(9.488 / 4), 0.0005);
  EXPECT_FALSE(result->as_stated);
  EXPECT_TRUE(repeatability(readings, 1.0)->as_stated);
  EXPECT_FALSE(repeatability(readings, {})->limit_deg);
  EXPECT_FALSE(repeatability(std::vector<RepeatedReading>{{"a", 1}, {"b", 2}}, 1.0));
}

TEST(Repeatability, RejectsATrueSigmaOneTimeInTwenty) {
  std::mt19937 random(17123);
  std::normal_distribution<double> noise(0, 0.5);
  int rejected = 0, covered = 0;
  for (int trial = 0; trial < 2000; ++trial) {
    std::vector<RepeatedReading> readings;
    for (const char* line : {"a", "b", "c"})
      for (int set = 0; set < 4; ++set) readings.push_back({line, wrap_360(noise(random))});
    const auto result = repeatability(readings, 0.5);
    rejected += !result->as_stated;
    covered += result->s_low_deg <= 0.5 && 0.5 <= result->s_high_deg;
  }
  EXPECT_NEAR(rejected, 100, 30);
  EXPECT_NEAR(covered, 1900, 30);
}

}  // namespace
}  // namespace agonic::instrument
