// One sighting against what is known of its direction: the sums of contract and textbook, and every refusal.
#include <gtest/gtest.h>

#include <cmath>

#include "model/lookup/lookup.hpp"
#include "model/survey/sun.hpp"
#include "tests/model/sightings/fixture.hpp"

namespace agonic::sightings {
namespace {

using instrument::Blunder;

const Texts kLine{{"place", "46.5 7.25"},   {"date", "2026-06-01"},   {"azimuth", "100"},
                  {"set_declination", "0"}, {"known_azimuth", "103"}, {"known_north", "true"}};
Texts with(Texts base, const std::string& name, const std::string& value) {
  base[name] = value;
  return base;
}

double declination() {
  return field::field_answer(catalogue(), "auto", {46.5, 7.25, 0, 2026 + 151.0 / 365})->elements.declination_deg;
}

TEST(Sighting, ReadsALineOfTrueAzimuth) {
  const Sighting s = read(kLine);
  ASSERT_FALSE(s.problem) << s.problem->text();
  EXPECT_NEAR(s.observation->magnetic_deg, 103 - declination(), 1e-9);
  EXPECT_NEAR(s.observation->index_deg(), 100 - (103 - declination()), 1e-9);
  EXPECT_NEAR(s.declination_sigma_deg, 0.36, 0.01);
  EXPECT_FALSE(s.observation->sigma_stated);
  EXPECT_EQ(s.day, "2026-06-01");
  // A setting is taken off; a backsight looks along the line the other way.
  EXPECT_NEAR(read(with(kLine, "set_declination", "2E")).observation->index_deg(), s.observation->index_deg() - 2,
              1e-9);
  EXPECT_NEAR(read(with(kLine, "backsight", "yes")).observation->magnetic_deg, 283 - declination(), 1e-9);
  // Sigmas: reading, a rounded graduation's 1/sqrt 12, the known line.
  const Sighting stated =
      read(with(with(with(kLine, "reading_sigma", "0.3"), "graduation", "1"), "known_sigma", "0.2"));
  EXPECT_NEAR(stated.observation->sigma_deg, std::sqrt(0.09 + 1.0 / 12 + 0.04), 1e-12);
  EXPECT_TRUE(stated.observation->sigma_stated);
}

TEST(Sighting, ReadsGridLinesAndObservedDeclinations) {
  const Sighting grid = read(with(with(kLine, "known_north", "grid"), "crs", "utm"));
  const double convergence = grids().at("utm", 46.5, 7.25)->convergence_deg;
  EXPECT_NEAR(grid.observation->magnetic_deg, 103 + convergence - declination(), 1e-9);
  const Sighting site = read(with(with(kLine, "site_declination", "4W"), "site_declination_sigma", "0.1"));
  EXPECT_NEAR(site.observation->magnetic_deg, 107, 1e-12);
  EXPECT_EQ(site.declination_sigma_deg, 0.1);
}

TEST(Sighting, ComputesTheSunAndItsShadow) {
  const Texts sun{{"place", "46.5 7.25"}, {"time", "2026-06-01T07:10+02:00"},
                  {"azimuth", "70"},      {"set_declination", "0"},
                  {"target", "sun"},      {"time_sigma", "60"}};
  const Sighting s = read(sun);
  ASSERT_FALSE(s.problem) << s.problem->text();
  const auto moment = survey::parse_moment("2026-06-01T05:10Z", kToday, false);
  const survey::Sun there = survey::sun_at({46.5, 7.25}, moment->instant);
  EXPECT_NEAR(s.observation->magnetic_deg, there.azimuth.degrees() - declination(), 0.001);
  EXPECT_NEAR(s.clock_sigma_deg, std::abs(there.azimuth_rate_deg_per_hour) / 60, 1e-9);
  EXPECT_NEAR(s.observation->sigma_deg, std::sqrt(0.25 + 1e-4 + s.clock_sigma_deg * s.clock_sigma_deg), 1e-6);
  const Sighting shadow = read(with(sun, "target", "shadow"));
  EXPECT_NEAR(std::abs(wrap_180(shadow.observation->magnetic_deg - s.observation->magnetic_deg)), 180, 1e-9);
  const auto refused = [&](const Texts& cells, Code code) {
    const Sighting bad = read(cells);
    ASSERT_TRUE(bad.problem);
    EXPECT_EQ(bad.problem->code, code) << bad.problem->text();
  };
  refused(with(sun, "time", "2026-06-01T07:10"), Code::date_ambiguous);
  refused(with(sun, "time", ""), Code::missing_value);
  refused(with(sun, "time", "2026-06-01T01:10+02:00"), Code::contradiction);  // night
  refused(with(sun, "time", "2027-06-01T07:10+02:00"), Code::date_future);
  refused(with(sun, "date", "2025-06-01"), Code::contradiction);
  refused(with(sun, "known_azimuth", "3"), Code::contradiction);
  refused(with(sun, "time_sigma", "-1"), Code::out_of_range);
}

TEST(Sighting, ReadsReversals) {
  const Sighting s =
      read({{"vertical_fore", "6°20'"}, {"vertical_back", "-5°50'"}, {"dip", "41"}, {"dip_reversed", "40"}});
  ASSERT_FALSE(s.problem) << s.problem->text();
  EXPECT_NEAR(s.vertical->fore_deg + s.vertical->back_deg, 0.5, 1e-9);
  EXPECT_EQ(s.dip->fore_deg + s.dip->back_deg, 1);
  EXPECT_FALSE(s.observation);
}

TEST(Sighting, KnowsWhatAMistakeWouldLookLike) {
  const Sighting s = read(with(kLine, "set_declination", "3W"));
  const auto index = [&](Blunder blunder) {
    for (const auto& mistake : s.observation->mistakes)
      if (mistake.blunder == blunder) return mistake.index_deg;
    return 999.0;
  };
  const double plain = s.observation->index_deg(), d = declination();
  EXPECT_NEAR(index(Blunder::setting_sign), plain - 6, 1e-9);
  EXPECT_NEAR(index(Blunder::setting_absent), plain - 3, 1e-9);
  EXPECT_NEAR(index(Blunder::known_magnetic), plain - d, 1e-9);
  EXPECT_NEAR(index(Blunder::declination_sign), plain - 2 * d, 1e-9);
}

TEST(Sighting, RefusesEachBadCellByItsName) {
  struct Bad {
    const char* name;
    const char* value;
    const char* field;
    Code code;
  };
  for (const Bad& bad : {Bad{"azimuth", "361", "azimuth", Code::reading_out_of_range},
                         Bad{"azimuth", "north-ish", "azimuth", Code::not_a_number},
                         Bad{"azimuth", "", "azimuth", Code::missing_value},
                         Bad{"set_declination", "", "set_declination", Code::set_declination_unknown},
                         Bad{"set_declination", "unknown", "set_declination", Code::set_declination_unknown},
                         Bad{"set_declination", "-2E", "set_declination", Code::declination_sign},
                         Bad{"north_reference", "true", "north_reference", Code::unknown_name},
                         Bad{"known_north", "", "known_north", Code::north_reference_missing},
                         Bad{"known_north", "magnetic", "known_north", Code::unknown_name},
                         Bad{"known_north", "grid", "crs", Code::missing_value},
                         Bad{"known_azimuth", "", "known_azimuth", Code::missing_value},
                         Bad{"target", "moon", "target", Code::unknown_name},
                         Bad{"place", "", "place", Code::missing_value},
                         Bad{"date", "", "date", Code::date_missing},
                         Bad{"date", "2027-06-01", "date", Code::date_future},
                         Bad{"date", "1500-06-01", "date", Code::date_outside_models},
                         Bad{"place", "86 -139", "place", Code::needle_unusable},
                         Bad{"reading_sigma", "x", "reading_sigma", Code::not_a_number},
                         Bad{"graduation", "20", "graduation", Code::out_of_range},
                         Bad{"backsight", "perhaps", "backsight", Code::unknown_name},
                         Bad{"vertical_fore", "3", "vertical_back", Code::missing_value}}) {
    const Sighting s = read(with(kLine, bad.name, bad.value));
    ASSERT_TRUE(s.problem) << bad.name << '=' << bad.value;
    EXPECT_EQ(s.problem->field, bad.field) << bad.name << '=' << bad.value << ": " << s.problem->text();
    EXPECT_EQ(s.problem->code, bad.code) << bad.name << '=' << bad.value << ": " << s.problem->text();
    EXPECT_FALSE(s.problem->remedy.empty()) << bad.name;
  }
  EXPECT_FALSE(read(with(with(kLine, "set_declination", ""), "north_reference", "magnetic")).problem);
}

TEST(Sighting, TakesDefaultsAndHoldsTypedOnesToTheirSide) {
  Texts bare = kLine;
  bare.erase("set_declination");
  EXPECT_NEAR(read(bare, {{"set_declination", "2"}}).observation->set_deg, 2, 1e-12);
  EXPECT_EQ(read(bare, {{"set_declination", "2"}}, Writer::person).problem->code, Code::declination_unsigned);
  EXPECT_NEAR(read(bare, {{"set_declination", "2W"}}, Writer::person).observation->set_deg, -2, 1e-12);
  Texts own = kLine;
  own.erase("place");
  own["lat"] = "46.5";
  own["lon"] = "7.25";
  EXPECT_NEAR(read(own, {{"place", "10 10"}}).observation->magnetic_deg, 103 - declination(), 1e-9);
  EXPECT_TRUE(read(with(own, "place", "1 1")).problem);
  const auto wrong = [](const char* name, const char* value) {
    const auto problem = check_defaults(*parse_rules({{{name, value}}, Writer::person}, kToday));
    return problem ? problem->field : std::string();
  };
  for (const auto& [name, value] : Texts{{"set_declination", "2"},
                                         {"site_declination", "x"},
                                         {"reading_sigma", "-1"},
                                         {"graduation", "11"},
                                         {"time_sigma", "x"},
                                         {"target", "moon"},
                                         {"place", "91 0"},
                                         {"date", "2026-13-01"},
                                         {"known_azimuth", "400"},
                                         {"known_north", "up"},
                                         {"backsight", "perhaps"},
                                         {"azimuth_unit", "ell"},
                                         {"north_reference", "true"}})
    EXPECT_EQ(wrong(name.c_str(), value.c_str()), name) << value;
  EXPECT_EQ(wrong("set_declination", "2W"), "");
  EXPECT_FALSE(parse_rules({{{"known_azimut", "1"}}, Writer::program}, kToday));
  EXPECT_FALSE(parse_rules({{{"letters", "xx"}}, Writer::program}, kToday));
  EXPECT_FALSE(parse_rules({{{"date_order", "xx"}}, Writer::program}, kToday));
}

}  // namespace
}  // namespace agonic::sightings
