// The series that the page computes with, held against GeographicLib, which the programs compute with.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "model/geodesy/projections_series.hpp"
#include "model/units/angle.hpp"

namespace agonic::geodesy {
namespace {

constexpr double kMetres = 1e-5;  // 1e-10 degree

void expect_same(const OnPlane& a, const OnPlane& b, const std::string& where) {
  EXPECT_NEAR(a.easting_m, b.easting_m, kMetres) << where;
  EXPECT_NEAR(a.northing_m, b.northing_m, kMetres) << where;
  EXPECT_NEAR(wrap_180(a.convergence_deg - b.convergence_deg), 0, series::kSeriesAgreesDeg) << where;
}

std::string at(double lat, double lon) { return std::to_string(lat) + ' ' + std::to_string(lon); }

TEST(Series, TransverseMercatorAsGeographicLib) {
  for (double lat = -90; lat <= 90; lat += 1.25)
    for (const double lon : {-176.9, -60.0, -3.0, -1e-9, 0.0, 0.4, 2.99, 5.0, 44.4, 180.0})
      for (const double off : {-4.5, -3.0, 0.0, 0.3, 2.0})
        expect_same(series::transverse_mercator(lon + off, lat, lon), transverse_mercator(lon + off, lat, lon),
                    at(lat, lon));
}

TEST(Series, PolarStereographicAsGeographicLib) {
  for (double lat = 60; lat <= 90; lat += 0.5)
    for (double lon = -180; lon <= 180; lon += 7.5) {
      expect_same(series::polar_stereographic(true, lat, lon), polar_stereographic(true, lat, lon), at(lat, lon));
      expect_same(series::polar_stereographic(false, -lat, lon), polar_stereographic(false, -lat, lon), at(-lat, lon));
    }
}

TEST(Series, ZonesAsGeographicLib) {
  for (double lat = -90; lat <= 90; lat += 0.5)
    for (double lon = -180; lon <= 180; lon += 0.5)
      ASSERT_EQ(series::standard_zone(lat, lon), standard_zone(lat, lon)) << at(lat, lon);
}

void expect_same_back(int zone, bool north, double easting, double northing) {
  const auto a = series::from_utm_ups(zone, north, easting, northing), b = from_utm_ups(zone, north, easting, northing);
  ASSERT_EQ(a.has_value(), b.has_value()) << zone << (north ? " N " : " S ") << easting << ' ' << northing;
  if (!a) return;
  EXPECT_NEAR(a->lat_deg, b->lat_deg, series::kSeriesAgreesDeg);
  // Degrees of longitude shrink to nothing at a pole.
  EXPECT_NEAR(wrap_180(a->lon_deg - b->lon_deg) * std::cos(b->lat_deg * kDegree), 0, series::kSeriesAgreesDeg);
}

TEST(Series, BackAsGeographicLib) {
  for (const bool north : {true, false})
    for (double easting = -50'000; easting <= 1'050'000; easting += 55'000)
      for (double northing = north ? 0 : 950'000; northing <= (north ? 9'500'000 : 10'000'000); northing += 181'000)
        expect_same_back(33, north, easting, northing);
  for (const bool north : {true, false})
    for (double easting = 900'000; easting <= 3'000'000; easting += 137'000)
      for (double northing = 900'000; northing <= 3'000'000; northing += 137'000)
        expect_same_back(kUps, north, easting, northing);
  expect_same_back(kUps, true, 2'000'000, 2'000'000);
}

TEST(Series, EverySquareOfMgrsAsGeographicLib) {
  const auto compare = [](const std::string& text) {
    const auto a = series::mgrs_square(text), b = mgrs_square(text);
    ASSERT_EQ(a.has_value(), b.has_value()) << text;
    if (!a) return;
    EXPECT_EQ(a->zone, b->zone) << text;
    EXPECT_EQ(a->north, b->north) << text;
    EXPECT_EQ(a->digits, b->digits) << text;
    EXPECT_NEAR(a->easting_m, b->easting_m, 1e-6) << text;
    EXPECT_NEAR(a->northing_m, b->northing_m, 1e-6) << text;
  };
  for (const std::string zone : {"1", "32", "33"})
    for (char band = 'C'; band <= 'X'; ++band)
      for (char column = 'A'; column <= 'Z'; ++column)
        for (char row = 'A'; row <= 'Z'; ++row) compare(zone + band + column + row + "0123456789");
  for (const char part : {'A', 'B', 'Y', 'Z'})
    for (char column = 'A'; column <= 'Z'; ++column)
      for (char row = 'A'; row <= 'Z'; ++row) compare(std::string{part, column, row} + "1234");
  for (const char* text :
       {"32UMA", "32UMA6134481745", "18TWL8562811322", "4QFJ12345678901234567890", "61UMA12", "0UMA12"})
    compare(text);
}

}  // namespace
}  // namespace agonic::geodesy
