// Published exercises of surveying and structural geology; the sources stand in the tables.
#include <gtest/gtest.h>

#include <cmath>

#include "model/reading/plane.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"
#include "tests/model/reading/reading_fixture.hpp"
#include "tests/model/reference_rows.hpp"

namespace agonic::reading {
namespace {

// 72.44 of a table as 72°44', with the letters kept.
std::string sixty(std::string text) {
  const auto point = text.find('.');
  text.insert(point + 3, "'");
  return text.replace(point, 1, "\u00B0");
}

double degrees(const std::string& text) { return parse_azimuth(sixty(text), AzimuthUnit::deg, {})->degrees; }

double apart(double a, double b) { return std::abs(wrap_180(a - b)); }

TEST(Published, MagneticBearingsBecomeTrue) {
  for (const auto& row : reference_rows("magnetic_to_true.txt")) {
    const Outcome out = done(row_with({{"azimuth", sixty(row[0])},
                                       {"north_reference", "magnetic"},
                                       {"set_declination", ""},
                                       {"site_declination", sixty(row[1])}}));
    EXPECT_LT(apart(value(out, Added::azimuth_true), degrees(row[2])), 1e-4) << row[0];
    // And back: a true bearing to the needle.
    const Outcome back = done(row_with({{"azimuth", sixty(row[2])},
                                        {"north_reference", "true"},
                                        {"set_declination", ""},
                                        {"site_declination", sixty(row[1])}}));
    EXPECT_LT(apart(value(back, Added::azimuth_magnetic), degrees(row[0])), 1e-4) << row[0];
  }
}

TEST(Published, QuadrantBearingsAreWholeCircleBearings) {
  for (const auto& row : reference_rows("quadrant_bearings.txt")) {
    EXPECT_LT(apart(degrees(row[0]), degrees(row[1])), 1e-9) << row[0];
    std::string two = sixty(row[0]);
    EXPECT_EQ(quadrant_text(degrees(row[1]), {true, true, false}), two);
  }
}

TEST(Published, OldLinesAreRetracedAndThePublishedSignErrorsAreNotRepeated) {
  int wrong = 0;
  for (const auto& row : reference_rows("retraced_lines.txt")) {
    const Outcome then = done(row_with({{"azimuth", sixty(row[1])},
                                        {"north_reference", "magnetic"},
                                        {"set_declination", ""},
                                        {"site_declination", sixty(row[2])}}));
    EXPECT_LT(apart(value(then, Added::azimuth_true), degrees(row[4])), 1e-4) << row[0];
    if (row[3] == "-") continue;
    const Outcome now = done(row_with({{"azimuth", sixty(row[4])},
                                       {"north_reference", "true"},
                                       {"set_declination", ""},
                                       {"site_declination", sixty(row[3])}}));
    EXPECT_LT(apart(value(now, Added::azimuth_magnetic), degrees(row[5])), 1e-4) << row[0];
    if (row[6] == "-") continue;
    ++wrong;
    EXPECT_GT(apart(value(now, Added::azimuth_magnetic), degrees(row[6])), 1) << row[0];
    EXPECT_GT(apart(value(then, Added::azimuth_true), degrees(row[6])), 1) << row[0];
  }
  EXPECT_EQ(wrong, 2);
}

// Declination turns azimuths only: dip, rake and plunge stay to the last digit.
TEST(Published, PlanesAndLinesTurnWithoutTheirInclinations) {
  for (const auto& row : reference_rows("planes_and_rakes.txt")) {
    const double strike = std::stod(row[0]), dip = std::stod(row[1]), rake = std::stod(row[2]);
    const LineInPlane in_plane = line_in_plane(strike, dip, rake);
    EXPECT_LT(apart(in_plane.trend_deg, std::stod(row[3])), 0.6);
    EXPECT_NEAR(in_plane.plunge_deg, std::stod(row[4]), 0.6);
    const Outcome plane =
        done(row_with({{"azimuth", row[0]}, {"dip", row[1]}, {"rake", row[2]}, {"plane_convention", "right_hand"}}));
    EXPECT_LT(apart(value(plane, Added::azimuth_true), strike + 10), 1e-9);
    EXPECT_LT(apart(value(plane, Added::dip_direction_true), strike + 100), 1e-9);
    EXPECT_EQ(value(plane, Added::dip_corrected), dip);
    EXPECT_TRUE(has(plane.remark, "rake " + row[2] + " from the right-hand strike, unchanged")) << plane.remark;
    EXPECT_TRUE(has(plane.remark, "its line trends " + format_azimuth(wrap_360(in_plane.trend_deg + 10))))
        << plane.remark;
    const Outcome line = done(row_with({{"azimuth", row[3]}, {"plunge", row[4]}}));
    EXPECT_LT(apart(value(line, Added::azimuth_true), std::stod(row[3]) + 10), 1e-9);
    EXPECT_EQ(value(line, Added::plunge_corrected), std::stod(row[4]));
  }
}

// Grid is magnetic plus the G-M angle; US Army land navigation task: 190 magnetic and 9 E are 199 grid.
TEST(Published, GridIsMagneticPlusTheGridMagneticAngle) {
  const Outcome out = done(row_with({{"azimuth", "199"},
                                     {"north_reference", "grid"},
                                     {"crs", "utm"},
                                     {"set_declination", ""},
                                     {"applied_grid_magnetic", "9E"}}));
  EXPECT_LT(apart(value(out, Added::azimuth_true), 190 + 10), 1e-9);
  EXPECT_LT(apart(value(out, Added::azimuth_magnetic), 190), 1e-9);
}

// Old declination from two magnetic bearings of one line: old S40.40W, now S54.35W with 8.30E, so that it was 22.25E
// (24houranswers 9032, problem; worked independently). Degrees.minutes.
TEST(Published, TheOldDeclinationOfALineComesFromTwoBearings) {
  const Outcome now = done(row_with({{"azimuth", sixty("S54.35W")}, {"site_declination", sixty("8.30E")}}));
  const Outcome then = done(row_with({{"azimuth", sixty("S40.40W")}, {"site_declination", sixty("22.25E")}}));
  EXPECT_LT(apart(value(now, Added::azimuth_true), value(then, Added::azimuth_true)), 1e-4);
}

// Corrected twice, a bearing is off by the declination itself; declared as applied, it is not corrected twice.
TEST(Published, ACorrectedBearingIsNotCorrectedAgain) {
  const Row once{{"azimuth", "110"}, {"north_reference", "true"}, {"set_declination", ""}};
  const Outcome plain = done(row_with(once));
  EXPECT_EQ(plain.status, Status::unchanged);
  EXPECT_EQ(value(plain, Added::azimuth_true), 110);
  Row declared = once;
  declared["applied_declination"] = "10E";
  EXPECT_EQ(value(done(row_with(declared)), Added::azimuth_true), 110);
  EXPECT_EQ(value(done(row_with({{"azimuth", "110"}})), Added::azimuth_true), 120);  // what the double correction gives
}

// Constructed: set 12.0 W, actual 9.5 W, read 215.
TEST(Published, AStaleDialIsMadeGood) {
  const Outcome out = done(row_with({{"azimuth", "215"}, {"set_declination", "12W"}, {"site_declination", "9.5W"}}));
  EXPECT_LT(apart(value(out, Added::azimuth_true), 217.5), 1e-9);
}

// Cruden and Charlesworth 1976: the sigma of strike is that of dip over sin dip.
TEST(Published, SigmaOfAStrikeGrowsAsTheDipFlattens) {
  const Row base{{"plane_convention", "right_hand"},
                 {"dip", "30"},
                 {"dip_sigma", "2"},
                 {"graduation", "1"},
                 {"reading_sigma", "0.5"}};
  EXPECT_NEAR(value(done(row_with(base)), Added::azimuth_sigma), std::sqrt(0.09 + 1 / 12.0 + 0.25 + 16), 1e-9);
  Row flat = base;
  flat["dip"] = "1";
  EXPECT_EQ(value(done(row_with(flat)), Added::azimuth_sigma), 52);
}

}  // namespace
}  // namespace agonic::reading
