// Convergence: against published surveys, the formula on a sphere, GeographicLib and PROJ.
#include "model/geodesy/grid.hpp"

#include <gtest/gtest.h>
#include <proj.h>

#include <GeographicLib/UTMUPS.hpp>
#include <chrono>
#include <cmath>
#include <memory>
#include <random>
#include <string>
#include <tuple>
#include <type_traits>

#include "model/units/angle.hpp"

namespace agonic::geodesy {
namespace {

using GeographicLib::UTMUPS;

constexpr double dms(double degrees, double minutes, double seconds) { return degrees + minutes / 60 + seconds / 3600; }

GridAt grid(Grids& grids, const std::string& crs, double lat, double lon) {
  const auto at = grids.at(crs, lat, lon);
  EXPECT_TRUE(at) << crs << ' ' << lat << ' ' << lon << ": " << (at ? "" : at.problem().text());
  return at ? *at : GridAt{std::nan(""), {}, 0, 0};
}

Code refused(Grids& grids, const std::string& crs, double lat, double lon) {
  const auto at = grids.at(crs, lat, lon);
  EXPECT_FALSE(at) << crs << ' ' << lat << ' ' << lon;
  if (at) return Code::internal;
  EXPECT_FALSE(at.problem().remedy.empty());
  return at.problem().code;
}

static_assert(!std::is_copy_constructible_v<Grids> && std::is_nothrow_move_constructible_v<Grids>);

// The GDA technical manual's worked line from Flinders Peak (checks 8.1), as quoted in open test files. The manual
// counts convergence the other way (grid = azimuth + convergence); taking its sign over would put every azimuth off by
// twice the convergence (P5).
TEST(Grid, FlindersPeakOfTheGdaManual) {
  Grids grids;
  const double lat = -dms(37, 57, 3.7203);
  const double lon = dms(144, 25, 29.5244);
  const double manual = -dms(1, 35, 3.65);
  const double azimuth = dms(306, 52, 5.37);
  const double grid_bearing = dms(305, 17, 1.72);
  for (const std::string crs :
       {"EPSG:28355", "+proj=utm +zone=55 +south +ellps=GRS80", "UTM 55S", "55", "EPSG:32755"}) {
    const GridAt at = grid(grids, crs, lat, lon);
    EXPECT_NEAR(at.convergence_deg, -manual, 0.006 / 3600) << crs;
    EXPECT_NEAR(at.easting_m, 273741.297, 0.001) << crs;
    EXPECT_NEAR(at.northing_m, 5796489.777, 0.001) << crs;
    const Azimuth<Grid> bearing = Azimuth<True>(azimuth) - Convergence{at.convergence_deg};
    EXPECT_NEAR(bearing.degrees(), grid_bearing, 0.011 / 3600);
    const Azimuth<Grid> wrong = Azimuth<True>(azimuth) - Convergence{manual};
    EXPECT_GT(std::abs(wrong.degrees() - grid_bearing), 3);
  }
}

// Checks 8.3, from a published course on structural geology.
TEST(Grid, PublishedUtmCoordinates) {
  Grids grids;
  const GridAt at = grid(grids, "UTM 10N", 34.36116666, -120.108);
  EXPECT_NEAR(at.easting_m, 765975.641, 0.001);
  EXPECT_NEAR(at.northing_m, 3805993.134, 0.001);
  EXPECT_GT(at.convergence_deg, 0);  // east of the meridian in the north
}

// Checks 8.4: on a sphere tan(convergence) = tan(longitude from the meridian) sin(latitude).
TEST(Grid, TransverseMercatorOnASphere) {
  Grids grids;
  std::mt19937 random(4);
  std::uniform_real_distribution<double> lats(-85, 85);
  std::uniform_real_distribution<double> turns(-40, 40);
  for (int i = 0; i < 1000; ++i) {
    const double lat = lats(random);
    const double turn = turns(random);
    const GridAt at = grid(grids, "+proj=tmerc +lon_0=9 +R=6371000", lat, 9 + turn);
    const double expected = std::atan(std::tan(turn * kDegree) * std::sin(lat * kDegree)) / kDegree;
    ASSERT_NEAR(at.convergence_deg, expected, Grids::kAccuracyDeg) << lat << ' ' << turn;
  }
}

// PROJ 9.1.1 (a general library): 52 N 17 E in zone 33.
TEST(Grid, ZoneThirtyThreeInEveryName) {
  Grids grids;
  for (const std::string crs : {"utm", "UTM", "33", "33N", "33n", "33U", "UTM 33N", "utm33", "utm zone 33 north",
                                " UTM33 ", "EPSG:32633", "epsg:32633", "+proj=utm +zone=33 +datum=WGS84"}) {
    const GridAt at = grid(grids, crs, 52, 17);
    EXPECT_NEAR(at.convergence_deg, 1.576266, 5e-7) << crs;
    EXPECT_NEAR(at.easting_m, 637294.366, 0.001) << crs;
    EXPECT_NEAR(at.northing_m, 5762926.813, 0.001) << crs;
  }
  EXPECT_EQ(grid(grids, "utm", 52, 17).name, "UTM 33N");
  EXPECT_EQ(grid(grids, "33", -52, 17).name, "UTM 33S");
  EXPECT_EQ(grid(grids, "epsg:32633", 52, 17).name, "EPSG:32633");
  EXPECT_EQ(grid(grids, "epsg:25833", 52, 17).name, "EPSG:25833");
}

TEST(Grid, RandomPlacesAgainstGeographicLib) {
  Grids grids;
  std::mt19937 random(33);
  std::uniform_real_distribution<double> sine(-1, 1);
  std::uniform_real_distribution<double> turn(-180, 180);
  for (int i = 0; i < 10'000; ++i) {
    const double lat = std::asin(sine(random)) / kDegree;
    const double lon = turn(random);
    int zone = 0;
    bool north = false;
    double x = 0;
    double y = 0;
    double gamma = 0;
    double scale = 0;
    UTMUPS::Forward(lat, lon, zone, north, x, y, gamma, scale);
    const GridAt at = grid(grids, "utm", lat, lon);
    ASSERT_NEAR(wrap_180(at.convergence_deg - gamma), 0, 1e-12) << lat << ' ' << lon;
    ASSERT_NEAR(at.easting_m, x, 1e-6);
    ASSERT_NEAR(at.northing_m, y, 1e-6);
    const std::string name = zone == 0 ? "UPS " : "UTM " + std::to_string(zone);
    ASSERT_EQ(at.name, name + (north ? 'N' : 'S'));
    // The same by PROJ's projection, off its meridian by no more than kAccuracyDeg.
    if (zone > 0 && std::abs(lat) < 80) {
      const GridAt projected =
          grid(grids, "+proj=utm +zone=" + std::to_string(zone) + (north ? "" : " +south") + " +datum=WGS84", lat, lon);
      ASSERT_NEAR(projected.convergence_deg, at.convergence_deg, Grids::kAccuracyDeg) << lat << ' ' << lon;
    }
  }
}

// NGA.SIG.0012: 32V is widened over south-west Norway, and 31X, 33X, 35X, 37X share Svalbard.
TEST(Grid, NorwayAndSvalbardZones) {
  Grids grids;
  for (const auto& [lat, lon, zone] : {std::tuple{60.0, 2.9, 31},
                                       {60.0, 3.0, 32},
                                       {60.0, 5.3, 32},
                                       {55.9, 5.3, 31},
                                       {64.0, 5.3, 31},
                                       {78.0, 8.9, 31},
                                       {78.0, 9.0, 33},
                                       {78.0, 20.9, 33},
                                       {78.0, 21.0, 35},
                                       {78.0, 32.9, 35},
                                       {78.0, 33.0, 37},
                                       {78.0, 41.9, 37},
                                       {78.0, 42.0, 38},
                                       {71.9, 9.1, 32}})
    EXPECT_EQ(grid(grids, "utm", lat, lon).name, "UTM " + std::to_string(zone) + "N") << lat << ' ' << lon;
  EXPECT_LT(grid(grids, "utm", 60, 5.3).convergence_deg, -3);  // west of 9 E, by more than a plain zone allows
}

TEST(Grid, PolesAndAntimeridian) {
  Grids grids;
  EXPECT_DOUBLE_EQ(grid(grids, "utm", 90, 30).convergence_deg, 30);
  EXPECT_DOUBLE_EQ(grid(grids, "utm", -90, 30).convergence_deg, -30);
  EXPECT_DOUBLE_EQ(grid(grids, "UPS N", 85, 20).convergence_deg, 20);
  EXPECT_DOUBLE_EQ(grid(grids, "ups", -85, 20).convergence_deg, -20);
  EXPECT_EQ(grid(grids, "ups", -85, 20).name, "UPS S");
  EXPECT_NEAR(grid(grids, "EPSG:5041", 90, 20).convergence_deg, 20, Grids::kAccuracyDeg);
  EXPECT_NEAR(grid(grids, "EPSG:32661", 85, 20).convergence_deg, 20, Grids::kAccuracyDeg);
  EXPECT_NEAR(grid(grids, "EPSG:3031", -75, 40).convergence_deg, -40, Grids::kAccuracyDeg);
  EXPECT_EQ(grid(grids, "utm", 10, 180).name, "UTM 1N");
  EXPECT_EQ(grid(grids, "utm", 10, -180).name, "UTM 1N");
  EXPECT_EQ(grid(grids, "utm", 10, 179.9).name, "UTM 60N");
  EXPECT_EQ(grid(grids, "60", 10, -179.9).name, "UTM 60N");  // a little over the edge
  EXPECT_DOUBLE_EQ(grid(grids, "utm", 10, 350).convergence_deg, grid(grids, "utm", 10, -10).convergence_deg);
  // Fiji's grid reaches over the antimeridian; its central meridian is 178.75 E.
  EXPECT_NEAR(grid(grids, "EPSG:3460", -17, -179).convergence_deg, 2.25 * std::sin(-17 * kDegree), 1e-3);
}

// PROJ's own factors, on the system itself where its axes are east and north in metres.
TEST(Grid, NationalGridsAgainstProj) {
  Grids grids;
  const std::unique_ptr<PJ_CONTEXT, decltype(&proj_context_destroy)> context(proj_context_create(),
                                                                             proj_context_destroy);
  proj_context_set_enable_network(context.get(), 0);
  for (const auto& [crs, lat, lon] : {std::tuple{"EPSG:27700", 54.0, -3.0},
                                      {"EPSG:27700", 50.2, -5.5},
                                      {"EPSG:27700", 58.5, 0.5},
                                      {"EPSG:28992", 52.0, 5.5},
                                      {"EPSG:28992", 53.3, 6.9},
                                      {"EPSG:21781", 46.9, 8.2},
                                      {"EPSG:2056", 46.2, 6.1},
                                      {"EPSG:5514", 50.0, 15.0},
                                      {"EPSG:3995", 80.0, 20.0},
                                      {"EPSG:3375", 4.0, 102.0}}) {
    const std::unique_ptr<PJ, decltype(&proj_destroy)> system(proj_create(context.get(), crs), proj_destroy);
    ASSERT_TRUE(system) << crs;
    const PJ_FACTORS factors = proj_factors(system.get(), proj_coord(lon * kDegree, lat * kDegree, 0, 0));
    EXPECT_NEAR(grid(grids, crs, lat, lon).convergence_deg, factors.meridian_convergence / kDegree, Grids::kAccuracyDeg)
        << crs;
  }
}

TEST(Grid, AxesUnitsAndPrimeMeridiansDoNotMatter) {
  Grids grids;
  // Northing first.
  EXPECT_NEAR(grid(grids, "EPSG:2193", -41, 174).convergence_deg,
              grid(grids, "+proj=tmerc +lon_0=173 +k=0.9996 +ellps=GRS80", -41, 174).convergence_deg,
              Grids::kAccuracyDeg);
  EXPECT_NEAR(grid(grids, "EPSG:2193", -41, 174).convergence_deg, std::sin(-41 * kDegree), 1e-3);
  // Counted to the south and west: grid north is still where the north is.
  const GridAt south = grid(grids, "EPSG:2053", -26, 28.5);
  EXPECT_NEAR(south.convergence_deg, 0.5 * std::sin(26 * kDegree), 1e-4);
  EXPECT_LT(south.easting_m, 0);
  EXPECT_LT(south.northing_m, 0);
  EXPECT_NEAR(grid(grids, "EPSG:5513", 50, 15).convergence_deg, grid(grids, "EPSG:5514", 50, 15).convergence_deg, 1e-9);
  // A foot as unit; a cone's convergence is the sine of its standard latitude times the longitude.
  const GridAt feet = grid(grids, "EPSG:2264", 35.5, -80);
  EXPECT_NEAR(feet.convergence_deg, -std::sin(35.25 * kDegree), 1e-3);
  EXPECT_LT(feet.easting_m, 609'601);
  EXPECT_GT(feet.easting_m, 500'000);
  // Longitudes from Paris, 2.337229 east of Greenwich.
  EXPECT_NEAR(grid(grids, "EPSG:27572", 46, 3).convergence_deg, (3 - 2.33722917) * std::sin(46.8 * kDegree), 1e-6);
}

TEST(Grid, APlaceTooFarAwayIsRefused) {
  Grids grids;
  EXPECT_EQ(refused(grids, "UTM 32N", 52, 40), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "32", 52, -171), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "EPSG:32632", 89, 9), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "UPS N", -85, 0), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "UPS N", 40, 0), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "EPSG:27700", -40, 15), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "EPSG:2193", 41, 174), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "EPSG:3857", 90, 0), Code::grid_out_of_area);
  EXPECT_EQ(refused(grids, "utm", 91, 0), Code::place_out_of_range);
  EXPECT_EQ(refused(grids, "utm", std::nan(""), 0), Code::place_out_of_range);
  EXPECT_EQ(refused(grids, "utm", 0, std::nan("")), Code::place_out_of_range);
  EXPECT_EQ(refused(grids, "utm", 0, INFINITY), Code::place_out_of_range);
}

TEST(Grid, ANameThatIsNoGridIsRefused) {
  Grids grids;
  for (const std::string crs : {"",
                                " ",
                                "foo",
                                "EPSG:4326",
                                "EPSG:4979",
                                "EPSG:999999",
                                "EPSG:",
                                ":27700",
                                "EPSG:27700:1",
                                "0",
                                "61",
                                "UTM 61N",
                                "32Y",
                                "32O",
                                "UTM 32NN",
                                "UPS E",
                                "32633",
                                "EPSG:32661x",
                                "+proj=longlat",
                                "+proj=latlong +datum=WGS84",
                                "+proj=pipeline +step +proj=utm +zone=32",
                                "+init=epsg:27700",
                                "+proj=nonsense",
                                "+proj=utm",
                                "+proj=utm +zone=99",
                                "+proj=merc +nadgrids=/etc/passwd",
                                "+proj=merc +geoidgrids=x",
                                "PROJCRS[\"x\"]",
                                "/etc/passwd",
                                "EPSG:5773",
                                "EPSG:27700'",
                                "+proj=tmerc +ellps=none"}) {
    EXPECT_EQ(refused(grids, crs, 54, 9), Code::grid_unknown) << crs;
    EXPECT_TRUE(grids.check(crs)) << crs;
  }
  EXPECT_EQ(refused(grids, "+proj=tmerc " + std::string(100'000, ' ') + "+lon_0=9", 54, 9), Code::grid_unknown);
  EXPECT_EQ(grids.at("foo", 0, 0).problem().field, "crs");
  EXPECT_EQ(grids.at("foo", 0, 0).problem().value, "foo");
  EXPECT_FALSE(grids.check("EPSG:27700"));
  EXPECT_FALSE(grids.check("utm"));
}

TEST(Grid, KeepsNamesWithoutGrowing) {
  Grids grids;
  const double first = grid(grids, "EPSG:27700", 54, -3).convergence_deg;
  for (int i = 0; i < 300; ++i) {
    const std::string name = "+proj=tmerc +lon_0=" + std::to_string(i % 150);
    EXPECT_NEAR(grid(grids, name, 30, i % 150).convergence_deg, 0, 1e-9);
    refused(grids, "no grid " + std::to_string(i), 0, 0);
  }
  Grids moved = std::move(grids);
  EXPECT_EQ(grid(moved, "EPSG:27700", 54, -3).convergence_deg, first);
}

// Hundred times what it takes: fails only where the system is looked up anew for each place (6 ms and more a call).
TEST(Grid, IsQuickAfterTheFirstCall) {
  Grids grids;
  grid(grids, "EPSG:27700", 54, -3);
  const auto start = std::chrono::steady_clock::now();
  for (int i = 0; i < 2000; ++i) {
    grid(grids, "EPSG:27700", 54 + i * 1e-4, -3);
    refused(grids, "EPSG:999999", 54, -3);
  }
  EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(2));
}

}  // namespace
}  // namespace agonic::geodesy
