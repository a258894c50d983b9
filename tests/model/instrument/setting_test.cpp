// What to set on a circle. Rules of turning, leftover and checking along the needle: common practice.
#include "model/instrument/setting.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "model/units/angle.hpp"

namespace agonic::instrument {
namespace {

DeclinationAt constant(double declination) {
  return [declination](double) { return declination; };
}

Setting set(double declination, CircleKind circle = {}) {
  return find_setting(circle, constant(declination), 2026, std::nullopt, 2030);
}

TEST(Setting, TurnsClockwiseForEastAndSaysTheRest) {
  const Setting east = set(9.7);
  EXPECT_EQ(east.set_to_deg, 10);
  EXPECT_EQ(east.turn, Sense::clockwise);
  EXPECT_NEAR(east.leftover_deg, -0.3, 1e-12);
  EXPECT_EQ(east.reads_along_needle_deg, 10);
  EXPECT_EQ(east.reads_if_backwards_deg, 350);
  const Setting west = set(-13.7);
  EXPECT_EQ(west.set_to_deg, -14);
  EXPECT_EQ(west.turn, Sense::counterclockwise);
  EXPECT_NEAR(west.leftover_deg, 0.3, 1e-12);
  EXPECT_EQ(west.reads_along_needle_deg, 346);
  EXPECT_EQ(west.reads_if_backwards_deg, 14);
}

// Sighting along the needle is magnetic azimuth 0, so that the circle reads its setting: reading = 0 + set.
TEST(Setting, ReadsTheSettingAlongTheNeedleAsTheCorrectionTakesItOff) {
  for (double d = -179; d < 180; d += 7.3) {
    const Setting s = set(d);
    EXPECT_NEAR(magnetic(Azimuth<Circle>(s.reads_along_needle_deg), {s.set_to_deg}, {0}).degrees(), 0, 1e-9);
  }
}

TEST(Setting, TurnsTheOtherWayForInstrumentsThatDiffer) {
  CircleKind circle;
  circle.east_turn = Sense::counterclockwise;
  EXPECT_EQ(set(10, circle).turn, Sense::counterclockwise);
  EXPECT_EQ(set(-10, circle).turn, Sense::clockwise);
  EXPECT_EQ(set(0.2, circle).turn, Sense::none);
}

TEST(Setting, IsTheNearestMultipleOfTheGraduation) {
  struct Case {
    double graduation, set;
    int decimals;
    const char* reads;
  };
  for (const Case& c :
       {Case{1, -14, 0, "346"}, Case{2, -14, 0, "346"}, Case{0.5, -13.5, 1, "346.5"}, Case{0.25, -13.75, 2, "346.25"},
        Case{0.1, -13.7, 1, "346.3"}, Case{0.01, -13.69, 2, "346.31"}}) {
    CircleKind circle;
    circle.graduation_deg = c.graduation;
    const Setting s = set(-13.6891, circle);
    EXPECT_EQ(s.set_to_deg, c.set) << c.graduation;
    EXPECT_NEAR(s.leftover_deg, -13.6891 - c.set, 1e-12);
    EXPECT_LE(std::abs(s.leftover_deg), c.graduation / 2 + 1e-9);
    EXPECT_EQ(decimals_of(c.graduation), c.decimals);
    EXPECT_EQ(reads_text(s.reads_along_needle_deg, circle), c.reads);
  }
}

TEST(Setting, ShowsTheFiguresOfTheCircle) {
  CircleKind azimuth, quadrant;
  quadrant.figures = Figures::quadrant;
  EXPECT_EQ(reads_text(7, azimuth), "007");
  EXPECT_EQ(reads_text(0, azimuth), "000");
  EXPECT_EQ(reads_text(346, quadrant), "N14W");
  EXPECT_EQ(reads_text(14, quadrant), "N14E");
  EXPECT_EQ(reads_text(100, quadrant), "S80E");
  EXPECT_EQ(reads_text(200, quadrant), "S20W");
  EXPECT_EQ(reads_text(90, quadrant), "N90E");
  EXPECT_EQ(reads_text(270, quadrant), "N90W");
  EXPECT_EQ(reads_text(0, quadrant), "N");
  EXPECT_EQ(reads_text(180, quadrant), "S");
}

TEST(Setting, LeavesACircleThatCannotBeTurned) {
  CircleKind fixed;
  fixed.turnable = false;
  const Setting s = find_setting(
      fixed, [](double year) { return 10 + (year - 2026); }, 2026, std::nullopt, 2030);
  EXPECT_EQ(s.set_to_deg, 0);
  EXPECT_EQ(s.turn, Sense::none);
  EXPECT_EQ(s.leftover_deg, 10);
  EXPECT_EQ(s.holds_until, "2026-07-02");  // the sum to add is half a degree off after half a year
}

TEST(Setting, TakesTheMiddleOfTheRangeOverASpan) {
  // From 10 up to 12 and back: the middle of the range is 11, that of the ends 10.
  const auto hump = [](double year) { return 12 - 2 * std::abs(year - 2027); };
  const Setting s = find_setting({}, hump, 2026, 2028, 2030);
  EXPECT_EQ(s.set_to_deg, 11);
  EXPECT_NEAR(s.leftover_deg, -1, 1e-9);
  EXPECT_FALSE(s.holds_until);  // not even on the first day
  const auto slow = [](double year) { return 10.2 + 0.2 * (year - 2026); };
  EXPECT_EQ(find_setting({}, slow, 2026, 2029.5, 2030).set_to_deg, 11);
  EXPECT_EQ(find_setting({}, slow, 2026, std::nullopt, 2030).set_to_deg, 10);
}

TEST(Setting, GoesAcrossTheSouth) {
  const auto across = [](double year) { return wrap_180(179.6 + 0.4 * (year - 2026)); };
  EXPECT_EQ(find_setting({}, across, 2026, 2028, 2030).set_to_deg, 180);
  EXPECT_EQ(set(-179.8).set_to_deg, 180);
  EXPECT_NEAR(set(-179.8).leftover_deg, 0.2, 1e-9);
}

TEST(Setting, HoldsUntilDLeavesHalfAGraduationAndNotByTheFirstYearsRate) {
  // D falls at first and then turns back: the rate of the first day would say that it leaves.
  const auto turning = [](double year) { return 10 - 0.4 * std::sin((year - 2026) * kPi / 2); };
  const Setting s = find_setting({}, turning, 2026, std::nullopt, 2028);
  EXPECT_TRUE(s.holds_to_the_end);
  EXPECT_EQ(s.holds_until, "2028-01-01");
  // 10.25 + 0.25 a year is half off at 2027.0, still within on that very day.
  const Setting year = find_setting(
      {}, [](double y) { return 10.25 + 0.25 * (y - 2026); }, 2026, std::nullopt, 2030);
  EXPECT_EQ(year.holds_until, "2027-01-01");
  EXPECT_FALSE(year.holds_to_the_end);
}

}  // namespace
}  // namespace agonic::instrument
