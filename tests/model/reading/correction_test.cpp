// What a reading becomes: the sums, the reversals, the notations, and what must hold for every row.
#include "model/reading/correction.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "model/reading/read_row.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"
#include "tests/model/reading/reading_fixture.hpp"

namespace agonic::reading {
namespace {

double az(const Outcome& out) { return value(out, Added::azimuth_true); }

// Users' job: a circle set 10 W where the declination is 10 E.
TEST(Correction, RepairsASettingOfTheWrongSign) {
  const Outcome out = done(row_with({{"set_declination", "10W"}}));
  EXPECT_EQ(az(out), 120);
  EXPECT_EQ(value(out, Added::correction), 20);
  EXPECT_TRUE(has(out.remark, "100.000 read + 10.000")) << out.remark;
}

TEST(Correction, KeepsQuadrantFormAndDip) {
  EXPECT_EQ(done(row_with({{"azimuth", "S85E"}})).azimuth_true_text, "S75E");
  const Outcome plane = done(row_with({{"azimuth", "287"}, {"dip", "81"}, {"plane_convention", "right_hand"}}));
  EXPECT_EQ(value(plane, Added::dip_corrected), 81);
  EXPECT_EQ(az(plane), 297);
  const Outcome quadrant = done(row_with({{"azimuth", "N30E"}, {"dip", "40SE"}, {"plane_convention", "quadrant"}}));
  EXPECT_EQ(quadrant.azimuth_true_text, "N40E 40SE");
  EXPECT_EQ(value(quadrant, Added::dip_direction_true), 130);
}

TEST(Correction, TurnsUnitsExactly) {
  EXPECT_EQ(az(done(row_with({{"azimuth", "100"}, {"azimuth_unit", "gon"}}))), 100);
  EXPECT_EQ(az(done(row_with({{"azimuth", "1600"}, {"azimuth_unit", "mil6400"}}))), 100);
  EXPECT_EQ(az(done(row_with({{"azimuth", "1575"}, {"azimuth_unit", "mil6300"}}))), 100);
  EXPECT_EQ(az(done(row_with({{"azimuth", "1500"}, {"azimuth_unit", "mil6000"}}))), 100);
}

TEST(Correction, TakesIndexOffBeforeABacksightIsReversed) {
  const Outcome out = done(row_with({{"azimuth", "280"},
                                     {"azimuth_index_error", "2"},
                                     {"vertical_angle", "-5"},
                                     {"vertical_index_error", "0.5"},
                                     {"backsight", "yes"}}));
  EXPECT_EQ(az(out), 108);
  EXPECT_EQ(value(out, Added::correction), 8);  // the 180 is left out
  EXPECT_EQ(value(out, Added::vertical_angle_corrected), 5.5);
  const Outcome forward = done(row_with({{"vertical_angle", "6"}, {"vertical_index_error", "0.5"}}));
  EXPECT_EQ(value(forward, Added::vertical_angle_corrected), 5.5);
  const Outcome already = done(row_with({{"north_reference", "true"}, {"set_declination", ""}, {"backsight", "yes"}}));
  EXPECT_EQ(az(already), 280);
  EXPECT_TRUE(has(already.remark, "+ 180 (backsight reversed) = 280.000 true")) << already.remark;
}

TEST(Correction, MovesInclinationsByTheirOwnIndexErrorsAndTurnsThemAtTheirEnds) {
  EXPECT_EQ(value(done(row_with({{"plunge", "30"}, {"vertical_index_error", "2"}})), Added::plunge_corrected), 32);
  EXPECT_EQ(value(done(row_with({{"plunge", "30"}, {"dip_index_error", "2"}})), Added::plunge_corrected), 28);
  const Outcome up = done(row_with({{"plunge", "1"}, {"dip_index_error", "3"}}));
  EXPECT_EQ(value(up, Added::plunge_corrected), 2);
  EXPECT_EQ(az(up), 290);
  EXPECT_TRUE(has(up.remark, "+ 180 (turned")) << up.remark;
  const Outcome over = done(row_with({{"azimuth", "20"},
                                      {"dip", "89"},
                                      {"dip_index_error", "-3"},
                                      {"rake", "30"},
                                      {"plane_convention", "right_hand"}}));
  EXPECT_EQ(value(over, Added::dip_corrected), 88);
  EXPECT_EQ(az(over), 210);
  EXPECT_EQ(value(over, Added::dip_direction_true), 300);
  EXPECT_TRUE(has(over.remark, "150 from the turned one")) << over.remark;
  const Outcome kept = done(
      row_with({{"azimuth", "N20E"}, {"dip", "89E"}, {"dip_index_error", "-3"}, {"plane_convention", "quadrant"}}));
  EXPECT_EQ(kept.azimuth_true_text, "N30E 88NW");
}

TEST(Correction, ReadsRakesFromTheStrikeEndTheirLetterNames) {
  const auto rake = [](const char* text) {
    return done(row_with({{"azimuth", "30"}, {"dip", "60"}, {"rake", text}, {"plane_convention", "right_hand"}}))
        .remark;
  };
  EXPECT_TRUE(has(rake("65NE"), "rake 65 from"));
  EXPECT_TRUE(has(rake("65SW"), "rake 115 from"));
  refused_row(row_with({{"azimuth", "30"}, {"dip", "60"}, {"rake", "-65"}, {"plane_convention", "right_hand"}}));
  refused_row(row_with({{"azimuth", "30"}, {"dip", "60"}, {"rake", "65SE"}, {"plane_convention", "right_hand"}}));
}

TEST(Correction, IsDoneAgainAndUndoneByItsInverse) {
  const Row old{
      {"north_reference", "true"}, {"set_declination", ""}, {"azimuth", "123.456"}, {"applied_declination", "4.5W"}};
  const double again = az(done(row_with(old)));
  EXPECT_NEAR(again, 123.456 + 4.5 + 10, 1e-9);
  Row inverse = old;
  inverse["azimuth"] = format_fixed(again, 3);
  inverse["applied_declination"] = "10E";
  inverse["site_declination"] = "4.5W";
  EXPECT_NEAR(az(done(row_with(inverse))), 123.456, 0.001);
}

TEST(Correction, LeavesTrueRowsAloneAndNeedsNoPlaceForThem) {
  const Outcome out = done({{"north_reference", "true"}, {"azimuth", "100"}});
  EXPECT_EQ(out.status, Status::unchanged);
  EXPECT_EQ(az(out), 100);
  EXPECT_EQ(value(out, Added::correction), 0);
}

TEST(Correction, TellsTheNeedleAtTheTargetDate) {
  const Outcome out = done(row_with({{"target_date", "1950-07-01"}}));
  const auto d = [](double year) {
    return field::field_answer(field::built_in_catalogue(), "auto", {46, 8, 0, year})->elements.declination_deg;
  };
  const double now = d(2026 + 120.0 / 365), then = d(1950 + 181.0 / 365);
  EXPECT_NEAR(value(out, Added::azimuth_at_target), 100 + now - then, 1e-9);
  EXPECT_GT(std::abs(now - then), 3);
  // A true line of a deed, of no known date.
  const Outcome deed = done(
      {{"north_reference", "true"}, {"azimuth", "100"}, {"lat", "46"}, {"lon", "8"}, {"target_date", "1950-07-01"}});
  EXPECT_NEAR(value(deed, Added::azimuth_at_target), 100 - then, 1e-9);
}

TEST(Correction, TakesThisMonthAndThisYearForNoFuture) {
  done(row_with({{"date", "2026-11"}}), [] {
    Rules rules = rules_with();
    rules.today = std::chrono::sys_days(std::chrono::year(2026) / 11 / 3);
    return rules;
  }());
  EXPECT_EQ(refused_row(row_with({{"date", "2027"}})).code, Code::date_future);
}

TEST(Correction, PrefersTheCellToTheDefaultAndSkipsDefaultsWithoutMeaning) {
  const Rules rules = rules_with({{"set_declination", "5E"}, {"north_reference", "circle"}});
  EXPECT_EQ(az(done(row_with({{"set_declination", ""}, {"north_reference", ""}}), rules)), 105);
  EXPECT_EQ(az(done(row_with(), rules)), 110);
  EXPECT_EQ(az(done(row_with({{"set_declination", ""}, {"north_reference", "magnetic"}}), rules)), 110);
  EXPECT_EQ(refused_row(row_with({{"set_declination", "null"}}), rules).code, Code::set_declination_unknown);
  done(row_with({{"site_declination", "null"}}), rules);
}

TEST(Property, OutputsAgreeUndoingRestoresAndInclinationsDoNotMove) {
  std::mt19937 random(8);
  std::uniform_real_distribution<double> circle(0, 360), lat(-60, 60), lon(-180, 180), side(-30, 30), dip(0, 90);
  const char* norths[] = {"circle", "magnetic", "true", "grid"};
  const char* shapes[] = {"dip", "plunge", "vertical_angle"};
  for (int i = 0; i < 3000; ++i) {
    const std::string north = norths[i % 4], shape = shapes[i % 3];
    const std::string inclined = format_fixed(dip(random), 2);
    Row row{{"lat", format_fixed(lat(random), 4)},
            {"lon", format_fixed(lon(random), 4)},
            {"date", std::to_string(1600 + i % 420) + "-06-15"},
            {"azimuth", format_fixed(circle(random), 2)},
            {"north_reference", north},
            {"crs", "utm"},
            {shape, inclined},
            {"plane_convention", "right_hand"}};
    if (north == "circle") {
      row["set_declination"] = format_fixed(side(random), 2);
      row["azimuth_index_error"] = "1 2 -1 0.5 0.2";
    }
    if (north == "true" && i % 8 < 4) row["applied_declination"] = format_fixed(side(random), 2);
    if (north == "grid" && i % 8 < 4) row["applied_grid_magnetic"] = format_fixed(side(random), 2);
    if (shape == "vertical_angle" && i % 2) row["backsight"] = "yes";
    const auto reading = read_row(cells_of(row), rules_with());
    ASSERT_TRUE(reading) << reading.problem().text();
    Surroundings around;
    auto field =
        field::field_answer(field::built_in_catalogue(), "auto",
                            {reading->place->lat_deg, reading->place->lon_deg, 0, reading->date->decimal_year});
    ASSERT_TRUE(field);
    around.field = *field;
    geodesy::Grids grids;
    around.source_grid = around.output_grid = *grids.at("utm", reading->place->lat_deg, reading->place->lon_deg);
    const auto c = correct(*reading, around, true);
    ASSERT_TRUE(c) << c.problem().text();
    EXPECT_NEAR(wrap_180(undo(*reading, *c, around) - reading->azimuth.degrees), 0, 0.001) << i;
    EXPECT_NEAR(wrap_180(c->azimuth_true.degrees() - c->declination->deg - c->azimuth_magnetic->degrees()), 0, 1e-9);
    EXPECT_NEAR(wrap_180(c->azimuth_true.degrees() - c->convergence->deg - c->azimuth_grid->degrees()), 0, 1e-9);
    const auto moved = shape == "dip" ? c->dip : shape == "plunge" ? c->plunge : c->vertical_angle;
    EXPECT_EQ(std::abs(*moved), std::stod(inclined));
  }
}

TEST(Property, AnyCutOfTheRowsGivesTheSameOutcomes) {
  std::vector<Row> rows;
  for (int i = 0; i < 60; ++i)
    rows.push_back(row_with({{"azimuth", std::to_string(i * 7)},
                             {"site_declination", ""},
                             {"date", std::to_string(1850 + i * 3) + "-03-04"}}));
  std::vector<Cells> cells;
  for (const Row& row : rows) cells.push_back(cells_of(row));
  Corrector corrector(field::built_in_catalogue(), rules_with());
  const auto whole = corrector.correct(cells);
  for (std::size_t cut : {1U, 7U, 59U})
    for (std::size_t at = 0; at < cells.size(); at += cut) {
      const auto part = corrector.correct(std::span(cells).subspan(at, std::min(cut, cells.size() - at)));
      for (std::size_t i = 0; i < part.size(); ++i) {
        EXPECT_EQ(part[i].numbers, whole[at + i].numbers);
        EXPECT_EQ(part[i].remark, whole[at + i].remark);
      }
    }
}

}  // namespace
}  // namespace agonic::reading
