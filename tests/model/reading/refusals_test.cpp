// Every stop that one row can decide, and every check that asks or warns, each with a row that raises it and one that
// does not. Rules without another source: common practice.
#include <gtest/gtest.h>

#include <set>

#include "tests/model/reading/reading_fixture.hpp"

namespace agonic::reading {
namespace {

Row plane(const Row& more) {
  Row row = row_with({{"plane_convention", "right_hand"}, {"dip", "40"}});
  for (const auto& [name, value] : more) row[name] = value;
  return row;
}

TEST(Stop, EveryOneNamesItsColumn) {
  struct Case {
    Row row;
    Code code;
    const char* field;
  };
  for (const Case& c : {
           Case{row_with({{"set_declination", ""}}), Code::set_declination_unknown, "set_declination"},
           Case{row_with({{"set_declination", "unknown"}}), Code::set_declination_unknown, "set_declination"},
           Case{row_with({{"set_declination", "-10E"}}), Code::declination_sign, "set_declination"},
           Case{row_with({{"set_declination", "9\u00B080'W"}}), Code::sixtieths, "set_declination"},
           Case{row_with({{"azimuth", "100\u00B060'"}}), Code::sixtieths, "azimuth"},
           Case{row_with({{"north_reference", ""}}), Code::north_reference_missing, "north_reference"},
           Case{row_with({{"north_reference", "unknown"}}), Code::north_reference_missing, "north_reference"},
           Case{row_with({{"north_reference", "north"}}), Code::unknown_name, "north_reference"},
           Case{row_with({{"date", ""}}), Code::date_missing, "date"},
           Case{row_with({{"date", "2026-12-24"}}), Code::date_future, "date"},
           Case{row_with({{"date", "1500-06-01"}}), Code::date_outside_models, "date"},
           Case{row_with({{"date", "3/4/05"}}), Code::date_ambiguous, "date"},
           Case{row_with({{"date", "03/04/2005"}}), Code::date_ambiguous, "date"},
           Case{row_with({{"target_date", "2055-01-02"}}), Code::date_outside_models, "target_date"},
           Case{row_with({{"lat", "85.8"}, {"lon", "139.3"}}), Code::needle_unusable, "place"},
           Case{row_with({{"lat", "120"}}), Code::place_swapped, "lat"},
           Case{row_with({{"lat", "120"}, {"lon", "100"}}), Code::place_out_of_range, "lat"},
           Case{row_with({{"lat", ""}}), Code::missing_value, "lat"},
           Case{row_with({{"azimuth", ""}}), Code::missing_value, "azimuth"},
           Case{row_with({{"azimuth", "361"}}), Code::reading_out_of_range, "azimuth"},
           Case{row_with({{"azimuth", "-1"}}), Code::reading_out_of_range, "azimuth"},
           Case{row_with({{"azimuth", "N91E"}}), Code::quadrant_out_of_range, "azimuth"},
           Case{row_with({{"azimuth", "X"}}), Code::not_a_number, "azimuth"},
           Case{row_with({{"azimuth", "N35O"}}), Code::place_ambiguous, "azimuth"},
           Case{row_with({{"azimuth", "401"}, {"azimuth_unit", "gon"}}), Code::reading_out_of_range, "azimuth"},
           Case{row_with({{"azimuth_unit", "mil"}}), Code::unknown_name, "azimuth_unit"},
           Case{row_with({{"vertical_angle", "91"}}), Code::reading_out_of_range, "vertical_angle"},
           Case{row_with({{"plunge", "-1"}}), Code::reading_out_of_range, "plunge"},
           Case{row_with({{"plunge", "10"}, {"vertical_angle", "10"}}), Code::contradiction, "kind"},
           Case{row_with({{"kind", "line"}, {"vertical_angle", "10"}}), Code::not_applicable, "vertical_angle"},
           Case{row_with({{"plunge", "10"}, {"backsight", "yes"}}), Code::not_applicable, "backsight"},
           Case{plane({{"backsight", "yes"}}), Code::not_applicable, "backsight"},
           Case{plane({{"dip", "91"}}), Code::reading_out_of_range, "dip"},
           Case{plane({{"plane_convention", ""}}), Code::convention_missing, "plane_convention"},
           Case{plane({{"azimuth", "10"}, {"dip", "40N"}}), Code::dip_letter_along_strike, "dip"},
           Case{plane({{"azimuth", "10"}, {"dip", "40W"}}), Code::dip_letter_contradicts, "dip"},
           Case{plane({{"plane_convention", "quadrant"}}), Code::missing_value, "dip"},
           Case{plane({{"plane_convention", "quadrant"}, {"dip", "90"}, {"dip_index_error", "1"}}), Code::missing_value,
                "dip"},
           Case{row_with({{"north_reference", "magnetic"}}), Code::not_applicable, "set_declination"},
           Case{row_with({{"north_reference", "magnetic"}, {"set_declination", ""}, {"azimuth_index_error", "1"}}),
                Code::not_applicable, "azimuth_index_error"},
           Case{row_with({{"applied_declination", "1E"}}), Code::not_applicable, "applied_declination"},
           Case{row_with({{"applied_grid_magnetic", "1E"}}), Code::not_applicable, "applied_grid_magnetic"},
           Case{row_with({{"north_reference", "grid"}, {"set_declination", ""}}), Code::missing_value, "crs"},
           Case{row_with({{"crs", "nowhere"}}), Code::grid_unknown, "crs"},
           Case{row_with({{"azimuth_index_error", "0 40 0 0 0"}}), Code::index_curve, "azimuth_index_error"},
           Case{row_with({{"instrument", "T1"}}), Code::instrument_unknown, "instrument"},
           Case{row_with({{"height_m", "-90000"}}), Code::height_out_of_range, "height_m"},
       }) {
    const Problem problem = refused_row(c.row);
    EXPECT_EQ(problem.code, c.code) << problem.text();
    EXPECT_EQ(problem.field, c.field) << problem.text();
  }
  done(row_with({{"set_declination", "0"}}));
  done(plane({{"azimuth", "10"}, {"dip", "40E"}}));
}

TEST(Stop, ATypedDefaultWithoutItsSideIsRefusedAndAColumnsIsEast) {
  Rules rules = rules_with({{"set_declination", "5"}});
  rules.typed[static_cast<std::size_t>(Column::set_declination)] = true;
  EXPECT_EQ(refused_row(row_with({{"set_declination", ""}}), rules).code, Code::declination_unsigned);
  EXPECT_EQ(value(done(row_with({{"set_declination", "5"}}), rules), Added::set_declination_used), 5);
}

TEST(Stop, AnUnknownNorthNamesTheCandidates) {
  const std::string text = refused_row(row_with({{"north_reference", "unknown"}})).text();
  EXPECT_TRUE(has(text, "100.000 if it is true already")) << text;
  EXPECT_TRUE(has(text, "110.000 if magnetic")) << text;
  EXPECT_TRUE(has(text, "if grid (UTM 32N)")) << text;
}

TEST(Stop, AnUnusableNeedleCanBeForcedAndIsMarked) {
  Rules rules = rules_with();
  rules.force_unusable = true;
  EXPECT_TRUE(marked(done(row_with({{"lat", "85.8"}, {"lon", "139.3"}}), rules), "needle-forced"));
  EXPECT_FALSE(marked(done(row_with({}), rules), "needle-forced"));
}

// At 46 N 8 E the model's declination of 2026 is about 3.5 E.
TEST(Check, EachHasARowThatRaisesItAndOneThatDoesNot) {
  struct Case {
    const char* code;
    Row yes, no;
  };
  const Row model{{"site_declination", ""}, {"site_declination_sigma", ""}};
  const auto on = [&](Row more) {
    more.insert(model.begin(), model.end());
    return row_with(more);
  };
  const auto applied = [&](const char* declination) {
    return on({{"north_reference", "true"}, {"set_declination", ""}, {"applied_declination", declination}});
  };
  std::set<std::string_view> seen{"true-but-circle-unset", "needle-forced"};  // below and above
  for (const Case& c : {
           Case{"declination-differs", on({{"set_declination", "9E"}}), on({{"set_declination", "3.5E"}})},
           Case{"declination-sign", on({{"set_declination", "3.5W"}}), on({{"set_declination", "3.5E"}})},
           Case{"declination-unset", applied("0"), applied("3.5E")},
           Case{"setting-stale", on({{"set_declination", "2.5E"}}), on({{"set_declination", "3.5E"}})},
           Case{"first-of-january", on({{"date", "2020-01-01"}}), on({{"date", "2020"}})},
           Case{"map-note-old", on({{"set_declination", "1E 2010, 9'E a year"}}),
                on({{"set_declination", "3.5E 2026"}})},
           Case{"map-note-gap", on({{"set_declination", "1E 2025"}}), on({{"set_declination", "3.5E 2026"}})},
           Case{"needle-caution", on({{"lat", "78"}, {"lon", "-110"}}), on({})},
           Case{"dip-flat", plane({{"dip", "9"}}), plane({{"dip", "10"}})},
           Case{"position-zero", on({{"lat", "0"}, {"lon", "0"}}), on({{"lat", "0"}})},
           Case{"utm-zone-mismatch", on({{"lat", ""}, {"lon", ""}, {"place", "31N 900000 5100000"}}),
                on({{"lat", ""}, {"lon", ""}, {"place", "32N 461344 5481745"}})},
           Case{"datum-not-stated", on({{"lat", ""}, {"lon", ""}, {"place", "32N 461344 5481745"}}), on({})},
           Case{"height-unit", on({{"height_m", "10001"}}), on({{"height_m", "10000"}})},
           Case{"dip-direction-differs", plane({{"azimuth", "30"}, {"dip_direction", "123"}}),
                plane({{"azimuth", "30"}, {"dip_direction", "122"}})},
           Case{"precision-finer-than-sigma", on({{"azimuth", "100.123"}}), on({{"azimuth", "100.5"}})},
           Case{"index-error-large", on({{"azimuth_index_error", "5.1"}}), on({{"azimuth_index_error", "5"}})},
       }) {
    const Outcome yes = done(c.yes), no = done(c.no);
    EXPECT_TRUE(marked(yes, c.code)) << c.code << ": " << yes.remark;
    EXPECT_TRUE(has(yes.remark, c.code)) << yes.remark;
    EXPECT_FALSE(marked(no, c.code)) << c.code << ": " << no.remark;
    seen.insert(c.code);
  }
  const Row called_true = on({{"north_reference", "true"}, {"set_declination", ""}});
  EXPECT_TRUE(marked(done(called_true, rules_with({{"set_declination", "0"}})), "true-but-circle-unset"));
  EXPECT_FALSE(marked(done(called_true), "true-but-circle-unset"));
  for (const CheckInfo& check : all_checks()) EXPECT_TRUE(seen.contains(check.code)) << check.code;
}

TEST(Check, ADipDirectionIsComparedByItsSideWhereItIsACompassPointAndNeverUsed) {
  const auto asked = [](const Row& more) { return marked(done(plane(more)), "dip-direction-differs"); };
  EXPECT_FALSE(asked({{"azimuth", "100"}, {"dip_direction", "SW"}}));
  EXPECT_TRUE(asked({{"azimuth", "100"}, {"dip_direction", "N"}}));
  EXPECT_FALSE(asked({{"azimuth", "100"}, {"dip_direction", "10"}, {"plane_convention", "left_hand"}}));
  EXPECT_FALSE(asked({{"azimuth", "190"}, {"dip_direction", "190"}, {"plane_convention", "dip_direction"}}));
  EXPECT_TRUE(asked({{"azimuth", "190"}, {"dip_direction", "193"}, {"plane_convention", "dip_direction"}}));
  // The side of an upright strike is open: either will do.
  EXPECT_FALSE(asked({{"azimuth", "N10E"}, {"dip", "90"}, {"plane_convention", "quadrant"}, {"dip_direction", "280"}}));
  EXPECT_EQ(value(done(plane({{"azimuth", "100"}, {"dip_direction", "0"}})), Added::dip_direction_true),
            value(done(plane({{"azimuth", "100"}})), Added::dip_direction_true));
  EXPECT_EQ(refused_row(plane({{"dip_direction", "steep"}})).field, "dip_direction");
  EXPECT_FALSE(marked(done(row_with({{"dip_direction", "5"}})), "dip-direction-differs"));
}

TEST(Check, AnObservedDeclinationTellsWhetherTheSettingIsStale) {
  EXPECT_FALSE(marked(done(row_with({{"set_declination", "10E"}})), "setting-stale"));
  EXPECT_TRUE(marked(done(row_with({{"set_declination", "9E"}})), "setting-stale"));
}

}  // namespace
}  // namespace agonic::reading
