#include "model/survey/swing.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <random>

#include "model/survey/thresholds.hpp"
#include "model/units/angle.hpp"
#include "tests/model/survey/observatory_fixture.hpp"

namespace agonic::survey {
namespace {

using std::chrono::minutes;

// Quiet days as at Eskdalemuir in June 2003: 0.066 degrees east at 07 to 08 h UT, 0.123 west at 14 h (hourly means of
// June against the year's), on a night level of -4.762.
double quiet_deg(double hour) {
  return -4.762 + 0.066 * std::exp(-std::pow((hour - 7.5) / 1.5, 2)) - 0.123 * std::exp(-std::pow((hour - 14) / 2, 2));
}

Observatory made(int days, const std::function<double(int day, double hour)>& degrees, double noise = 0) {
  Observatory out;
  out.code = "ZZZ";
  out.lat_deg = 55;
  out.lon_deg = 0;
  std::mt19937 random(3);
  std::normal_distribution<double> normal(0, 1);
  for (int m = 0; m < days * 1440; ++m)
    out.samples.push_back(
        {instant(6, 1) + minutes{m}, degrees(m / 1440, m % 1440 / 60.0) + noise * normal(random), 17400.0});
  return out;
}

Departure at(const Observatory& o, const Moment& moment) {
  auto out = Swing(o, 17400).at(moment);
  if (!out) throw std::runtime_error(out.problem().text());
  return *std::move(out);
}

TEST(Swing, ADayIsReducedToItsNights) {
  const auto o = made(1, [](int, double hour) { return quiet_deg(hour); });
  const auto morning = at(o, {instant(6, 1, 7, 30), {}, {}}), noon = at(o, {instant(6, 1, 14, 0), {}, {}});
  EXPECT_NEAR(morning.departure_deg, 0.066, 0.002);
  EXPECT_NEAR(noon.departure_deg, -0.123, 0.002);
  EXPECT_NEAR(noon.quiet_level_deg, -4.762, 0.001);
  EXPECT_NEAR(noon.observed_deg, -4.885, 0.001);
  EXPECT_EQ(noon.activity, Activity::quiet);
  EXPECT_EQ(noon.nights, 1u);
  EXPECT_FALSE(noon.distance_km);
}

TEST(Swing, TheLevelIsThatOfTheQuietestDays) {
  // Thirty days, of which twenty have disturbed nights 0.4 degrees off: the five with the least range are quiet ones.
  const auto o = made(
      30,
      [](int day, double hour) {
        const bool night = hour < 4 || hour >= 22;
        return quiet_deg(hour) + (day % 3 != 0 && night ? 0.4 : 0);
      },
      0.003);
  const auto out = at(o, {instant(6, 16, 12, 0), {}, {}});
  EXPECT_EQ(out.nights, 5u);
  EXPECT_NEAR(out.quiet_level_deg, -4.762, 0.003);
  EXPECT_LT(out.sigma_deg, 0.03);
}

TEST(Swing, NightsAreThoseOfTheObservatorysOwnTime) {
  // At 150 east the night falls at 10 to 18 h UT: common practice, local mean time.
  auto o = made(2, [](int, double hour) { return quiet_deg(std::fmod(hour + 10, 24)); });
  o.lon_deg = 150;
  EXPECT_NEAR(at(o, {instant(6, 2, 4, 0), {}, {}}).departure_deg, -0.123, 0.003);  // 14 h local
}

TEST(Swing, UncertaintyGrowsWithTheDistance) {
  const auto o = made(3, [](int, double hour) { return quiet_deg(hour); });
  double last = 0;
  for (const double lat : {55.0, 56.0, 58.0, 62.0}) {
    const auto out = at(o, {instant(6, 2, 14, 0), lat, 0.0});
    EXPECT_NEAR(*out.distance_km, (lat - 55) * 111.19, 0.1);
    EXPECT_GT(out.sigma_deg, last);
    last = out.sigma_deg;
    EXPECT_LE(out.sigma_deg, std::hypot(0.01, out.departure_deg) + 1e-9);
  }
  const auto far = Swing(o, 17400).at({instant(6, 2, 14, 0), 66.0, 0.0});
  ASSERT_FALSE(far);
  EXPECT_EQ(far.problem().field, "place");
}

TEST(Swing, StormsAreFlaggedFromTheFileItself) {
  const auto o = made(3, [](int day, double hour) {
    // A day of storm as on 30 October 2003 in Eskdalemuir: a range of degrees.
    return quiet_deg(hour) + (day == 1 && hour > 18 ? 1.5 * std::sin((hour - 18) * 4) : 0);
  });
  const auto storm = at(o, {instant(6, 2, 20, 0), {}, {}});
  EXPECT_EQ(storm.activity, Activity::storm);
  EXPECT_GT(storm.range_nt, threshold::kStormNt);
  EXPECT_NE(storm.why.find("within three hours"), std::string::npos);
  EXPECT_EQ(at(o, {instant(6, 2, 14, 0), {}, {}}).activity, Activity::quiet);
  // An onset: one step of 40 nT between two minutes, and little range.
  const auto step = made(
      2, [](int day, double hour) { return quiet_deg(hour) + (day == 1 && hour >= 12 ? 40 / 17400.0 / kDegree : 0); });
  const auto onset = at(step, {instant(6, 2, 12, 30), {}, {}});
  EXPECT_EQ(onset.activity, Activity::storm);
  EXPECT_NEAR(onset.rate_nt_per_minute, 40, 3);
}

TEST(Swing, DisturbedHoursDoubleWhatTheDistanceAdds) {
  const auto bay = [](int day, double hour) {
    return quiet_deg(hour) + (day == 1 ? 0.5 * std::exp(-std::pow((hour - 20) / 0.7, 2)) : 0);
  };
  const auto o = made(3, bay);
  const auto out = at(o, {instant(6, 2, 20, 0), 56.0, 0.0});
  EXPECT_EQ(out.activity, Activity::disturbed);
  EXPECT_NEAR(out.sigma_deg, std::hypot(0.01, 2 * (0.1 + 0.11119) * out.departure_deg), 0.003);
}

TEST(Swing, WhatTheFileDoesNotHoldIsRefused) {
  auto o = made(1, [](int, double hour) { return quiet_deg(hour); });
  for (int m = 600; m < 660; ++m) o.samples[static_cast<std::size_t>(m)].declination_deg.reset();
  const Swing swing(o, 17400);
  EXPECT_EQ(swing.at({instant(6, 1, 10, 30), {}, {}}).problem().code, Code::missing_value);
  EXPECT_EQ(swing.at({instant(6, 2, 10, 30), {}, {}}).problem().code, Code::out_of_range);
  EXPECT_EQ(swing.at({instant(5, 31, 10, 30), {}, {}}).problem().code, Code::out_of_range);
  EXPECT_TRUE(swing.at({instant(6, 1, 11, 30), {}, {}}));
  // A short gap is bridged.
  o.samples[700].declination_deg.reset();
  EXPECT_NEAR(at(o, {instant(6, 1, 11, 40), {}, {}}).observed_deg, quiet_deg(700 / 60.0), 0.001);
  // No night: no level.
  Observatory noon = o;
  std::erase_if(noon.samples, [](const Sample& s) {
    const auto hour = (s.time - std::chrono::floor<std::chrono::days>(s.time)).count() / 3600;
    return hour < 8 || hour > 15;
  });
  EXPECT_EQ(Swing(noon, 17400).at({instant(6, 1, 12, 0), {}, {}}).problem().code, Code::missing_value);
}

TEST(Swing, WithoutAFileTheLatitudeTells) {
  // Eskdalemuir 2003 (55.3 N): median daily range 0.318, and 68 % of all minutes within 0.088 of the mean.
  EXPECT_NEAR(expected_swing(55.3).range_deg, 0.318, 0.05);
  EXPECT_NEAR(expected_swing(55.3).sigma_deg, 0.088, 0.01);
  // Britain: 0.2 to 0.5 degrees (cave surveyors' list, 2004).
  for (const double lat : {50.0, 58.0}) {
    EXPECT_GE(expected_swing(lat).range_deg, 0.2);
    EXPECT_LE(expected_swing(lat).range_deg, 0.5);
  }
  double last = 0;
  for (double lat = 0; lat <= 90; lat += 1) {
    EXPECT_GE(expected_swing(lat).range_deg, last);
    EXPECT_EQ(expected_swing(-lat).range_deg, expected_swing(lat).range_deg);
    last = expected_swing(lat).range_deg;
  }
}

}  // namespace
}  // namespace agonic::survey
