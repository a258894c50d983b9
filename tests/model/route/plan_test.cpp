// The fewest settings against all ways of cutting a small route, by brute force.
#include "model/route/plan.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "model/units/angle.hpp"

namespace agonic::route {
namespace {

instrument::CircleKind circle_of(double graduation) {
  instrument::CircleKind circle;
  circle.graduation_deg = graduation;
  return circle;
}

// Is there any mark on the circle within the tolerance of all of these?
bool one_mark_serves(double graduation, double tolerance, const std::vector<double>& d, std::size_t from,
                     std::size_t to) {
  for (int n = 0; n < static_cast<int>(std::lround(360 / graduation)); ++n) {
    bool all = true;
    for (std::size_t i = from; i <= to && all; ++i) all = std::abs(wrap_180(d[i] - n * graduation)) <= tolerance + 1e-9;
    if (all) return true;
  }
  return false;
}

// The least number of runs over every way to cut.
std::size_t fewest_by_trying(double graduation, double tolerance, const std::vector<double>& d) {
  std::size_t best = d.size();
  for (unsigned cuts = 0; cuts < 1U << (d.size() - 1); ++cuts) {
    std::size_t runs = 0, from = 0;
    bool good = true;
    for (std::size_t i = 0; i < d.size() && good; ++i) {
      if (i + 1 < d.size() && (cuts >> i & 1U) == 0) continue;
      good = one_mark_serves(graduation, tolerance, d, from, i);
      ++runs;
      from = i + 1;
    }
    if (good) best = std::min(best, runs);
  }
  return best;
}

double largest_left(double set_to, const std::vector<double>& d) {
  double most = 0;
  for (const double one : d) most = std::max(most, std::abs(wrap_180(one - set_to)));
  return most;
}

TEST(RoutePlan, NoWayOfCuttingASmallRouteNeedsFewerSettings) {
  std::mt19937 random(20260615);
  std::uniform_real_distribution<double> start(-180, 180), step(-1.2, 1.2), wide(0, 2);
  for (int round = 0; round < 300; ++round) {
    const double graduation = round % 3 == 0 ? 1 : round % 3 == 1 ? 0.5 : 2;
    const double tolerance = graduation / 2 + (round % 2 == 0 ? 0 : wide(random));
    std::vector<double> d{wrap_180(start(random))};
    while (d.size() < 8) d.push_back(wrap_180(d.back() + step(random)));
    std::vector<Piece> pieces;
    for (const double one : d) pieces.push_back({one, one});
    const auto plan = fewest_settings(circle_of(graduation), tolerance, pieces);
    ASSERT_EQ(plan.size(), fewest_by_trying(graduation, tolerance, d)) << "round " << round;
    std::size_t next = 0;
    for (const Stretch& stretch : plan) {
      EXPECT_EQ(stretch.first, next) << "every stop has a setting";
      next = stretch.last + 1;
      for (std::size_t i = stretch.first; i <= stretch.last; ++i)
        EXPECT_LE(std::abs(wrap_180(d[i] - stretch.setting.set_to_deg)), tolerance + 1e-9);
      EXPECT_NEAR(std::remainder(stretch.setting.set_to_deg, graduation), 0, 1e-9) << "a mark of the circle";
    }
    EXPECT_EQ(next, d.size());
  }
}

TEST(RoutePlan, NoMarkOfTheCircleLeavesLessThanTheOneSetting) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> anywhere(-180, 180), near(-20, 20);
  for (int round = 0; round < 200; ++round) {
    std::vector<double> d;
    const double middle = anywhere(random);
    for (int i = 0; i < 6; ++i) d.push_back(wrap_180(round % 4 == 0 ? anywhere(random) : middle + near(random)));
    const OneSetting one = one_setting(circle_of(1), d);
    double best = 180;
    for (int n = 0; n < 360; ++n) best = std::min(best, largest_left(n, d));
    EXPECT_NEAR(std::abs(one.largest_leftover_deg), best, 1e-9) << "round " << round;
    EXPECT_NEAR(wrap_180(d[one.at] - one.setting.set_to_deg), one.largest_leftover_deg, 1e-12);
  }
}

TEST(RoutePlan, TheMiddleOfTheRangeIsTakenAcrossTheWrap) {
  // Sums by hand: 178 E, 179 W and 176 W lie on an arc of 6 degrees whose middle is 181 E, that is 179 W.
  const OneSetting one = one_setting(circle_of(1), std::vector<double>{178, -179, -176});
  EXPECT_EQ(one.setting.set_to_deg, -179);
  EXPECT_NEAR(std::abs(one.largest_leftover_deg), 3, 1e-12);
  EXPECT_NEAR(one.high_deg - one.low_deg, 6, 1e-12);
  const auto plan = fewest_settings(circle_of(1), 3, std::vector<Piece>{{178, 178}, {-179, -179}, {-176, -176}});
  ASSERT_EQ(plan.size(), 1u);
  EXPECT_EQ(plan[0].setting.set_to_deg, -179);
}

TEST(RoutePlan, TheCircleTurnsTheShortWayFromSettingToSetting) {
  const std::vector<Piece> pieces{{3, 3}, {5, 5}, {4, 4}};
  const auto plan = fewest_settings(circle_of(1), 0.5, pieces);
  ASSERT_EQ(plan.size(), 3u);
  EXPECT_EQ(plan[0].setting.turn, instrument::Sense::clockwise);
  EXPECT_EQ(plan[1].setting.turn, instrument::Sense::clockwise);
  EXPECT_EQ(plan[2].setting.turn, instrument::Sense::counterclockwise);
  auto other = circle_of(1);
  other.east_turn = instrument::Sense::counterclockwise;
  EXPECT_EQ(fewest_settings(other, 0.5, pieces)[1].setting.turn, instrument::Sense::counterclockwise);
}

TEST(RoutePlan, APieceThatTurnsTooFarHasNoSettingAndTheRestHas) {
  const auto plan = fewest_settings(circle_of(1), 0.5, std::vector<Piece>{{0, 0.2}, {0.2, 3}, {3, 3.1}});
  ASSERT_EQ(plan.size(), 2u);
  EXPECT_EQ(plan[0].last, 0u);
  EXPECT_EQ(plan[1].first, 2u);
}

}  // namespace
}  // namespace agonic::route
