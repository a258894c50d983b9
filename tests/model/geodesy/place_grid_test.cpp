// UTM, UPS and MGRS: against GeographicLib's UTMUPS, MGRS and DMS, and the standard's zones for Norway and Svalbard.
#include <gtest/gtest.h>

#include <GeographicLib/DMS.hpp>
#include <GeographicLib/MGRS.hpp>
#include <GeographicLib/UTMUPS.hpp>
#include <cmath>
#include <random>
#include <string>
#include <tuple>

#include "model/geodesy/place.hpp"
#include "model/units/number.hpp"
#include "tests/model/geodesy/place_reading.hpp"

namespace agonic::geodesy {
namespace {

using GeographicLib::MGRS;
using GeographicLib::UTMUPS;

TEST(GridPlace, ZoneSIsRefusedWithBothMeanings) {
  for (const std::string text : {"18S 585628 4511322", "18s 585628 4511322", "UTM 18 S 585628 4511322"}) {
    const Problem problem = refused(text);
    EXPECT_EQ(problem.code, Code::place_ambiguous);
    EXPECT_TRUE(says(problem, "32 to 40")) << problem.text();
    EXPECT_TRUE(says(problem, "40.7484 N")) << problem.text();
    EXPECT_TRUE(says(problem, "49.5447 S")) << problem.text();
    EXPECT_LT(read(text, "hemisphere").lat_deg, -49);
    EXPECT_EQ(refused(text, "band").code, Code::contradiction);  // 40.7 north is in the band T
    EXPECT_EQ(refused(text, "es").code, Code::place_ambiguous);
  }
  EXPECT_NEAR(read("18S 585628 4011322", "band").lat_deg, 36.245, 0.01);
  EXPECT_LT(read("18 south 585628 4511322").lat_deg, -49);
  EXPECT_GT(read("18 north 585628 4511322").lat_deg, 40);
  EXPECT_GT(read("18N 585628 4511322").lat_deg, 40);
  EXPECT_GT(read("18n 585628 4511322").lat_deg, 40);
  EXPECT_GT(read("18T 585628 4511322").lat_deg, 40);
  EXPECT_EQ(refused("18 585628 4511322").code, Code::place_ambiguous);
}

TEST(GridPlace, UtmWritingsAndRefusals) {
  for (const std::string text :
       {"18T 585628 4511322", "UTM 18T 585628 4511322", "utm zone 18t 585628 4511322", "18T 585628E 4511322N",
        "18T 585628mE 4511322mN", "18T 585628 m E, 4511322 m N", "18T 4511322N 585628E", "18T585628 4511322",
        "18T, 585628, 4511322", "18T E585628 N4511322", "18 north E 585628 N 4511322"}) {
    const Place place = read(text);
    double lat = 0;
    double lon = 0;
    UTMUPS::Reverse(18, true, 585628, 4511322, lat, lon);
    EXPECT_EQ(place.lat_deg, lat) << text;
    EXPECT_EQ(place.lon_deg, lon) << text;
    EXPECT_EQ(place.notation, Place::Notation::utm);
    EXPECT_EQ(place.text_meaning, "UTM 18N");
    EXPECT_EQ(place.utm_zone_given, 18);
    EXPECT_FALSE(place.zone_mismatch);
  }
  EXPECT_TRUE(read("33N 200000 6600000").zone_mismatch);
  EXPECT_EQ(read("32U 461344,5 5481745,25", "", ',').lat_deg, read("32U 461344.5 5481745.25").lat_deg);
  EXPECT_EQ(refused("18R 585628 4511322").code, Code::contradiction);
  EXPECT_EQ(refused("18G 585628 4511322").code, Code::contradiction);
  EXPECT_EQ(refused("61N 585628 4511322").code, Code::place_out_of_range);
  EXPECT_EQ(refused("0N 585628 4511322").code, Code::place_out_of_range);
  EXPECT_EQ(refused("18N 4511322 585628").code, Code::place_out_of_range);
  EXPECT_EQ(refused("18N 585628 9999999").code, Code::place_out_of_range);
  EXPECT_EQ(refused("18A 585628 4511322").code, Code::place_unreadable);
  EXPECT_EQ(refused("18I 585628 4511322").code, Code::place_unreadable);
  EXPECT_EQ(refused("18T 585628").code, Code::place_unreadable);
  EXPECT_EQ(refused("18T -585628 4511322").code, Code::place_unreadable);
  EXPECT_EQ(refused("UTM 18T").code, Code::place_unreadable);
}

// Checks 8.3: zone 10 on WGS84, from a published course on structural geology.
TEST(GridPlace, PublishedUtmCoordinates) {
  const Place place = read("10 north 765975.641 3805993.134");
  EXPECT_NEAR(place.lat_deg, 34.36116666, 2e-8);
  EXPECT_NEAR(place.lon_deg, -120.108, 2e-8);
}

TEST(GridPlace, UpsWritingsAndRefusals) {
  EXPECT_EQ(read("N 2000000 2000000").lat_deg, 90);
  EXPECT_EQ(read("S 2000000 2000000").lat_deg, -90);
  for (const std::string text :
       {"N 2100000 1900000", "UPS N 2100000 1900000", "ups north 2100000E 1900000N", "Z 2100000 1900000"}) {
    const Place place = read(text);
    double lat = 0;
    double lon = 0;
    UTMUPS::Reverse(0, true, 2100000, 1900000, lat, lon);
    EXPECT_EQ(place.lat_deg, lat) << text;
    EXPECT_EQ(place.lon_deg, lon) << text;
    EXPECT_EQ(place.notation, Place::Notation::ups);
    EXPECT_EQ(place.text_meaning, "UPS N");
  }
  EXPECT_NEAR(read("A 1900000 2000000").lon_deg, -90, 1e-12);
  EXPECT_NEAR(read("B 2100000 2000000").lon_deg, 90, 1e-12);
  EXPECT_EQ(refused("A 2100000 2000000").code, Code::contradiction);
  EXPECT_EQ(refused("Z 1900000 2000000").code, Code::contradiction);
  EXPECT_EQ(refused("UPS 2000000 2000000").code, Code::place_unreadable);
  EXPECT_EQ(refused("UPS T 2000000 2000000").code, Code::place_unreadable);
  EXPECT_EQ(refused("UPS N 2000000 5000000").code, Code::place_out_of_range);
}

TEST(GridPlace, MgrsMeansTheCentreOfItsSquare) {
  const std::string full = "18TWL8562811322";
  for (int digits = 0; digits <= 5; ++digits) {
    const std::string easting = full.substr(5, static_cast<std::size_t>(digits));
    const std::string northing = full.substr(10, static_cast<std::size_t>(digits));
    int zone = 0;
    int precision = 0;
    bool north = false;
    double x = 0;
    double y = 0;
    double lat = 0;
    double lon = 0;
    MGRS::Reverse("18TWL" + easting + northing, zone, north, x, y, precision, true);
    UTMUPS::Reverse(zone, north, x, y, lat, lon);
    for (const std::string& text : {"18TWL" + easting + northing, "18T WL " + easting + ' ' + northing,
                                    "18twl " + easting + northing, "MGRS 18T WL" + easting + northing}) {
      const Place place = read(text);
      EXPECT_EQ(place.lat_deg, lat) << text;
      EXPECT_EQ(place.lon_deg, lon) << text;
      EXPECT_EQ(place.notation, Place::Notation::mgrs);
      EXPECT_EQ(place.utm_zone_given, 18);
      EXPECT_FALSE(place.zone_mismatch);
    }
  }
  EXPECT_EQ(read("18TWL85").text_meaning, "MGRS 18TWL85, centre of a square of 10 km");
  EXPECT_GT(read("18SUJ2337106519").lat_deg, 38);  // in MGRS the S is always a band
  EXPECT_EQ(refused("18TWL123").code, Code::place_unreadable);
  EXPECT_EQ(refused("18IWL1212").code, Code::place_unreadable);
  EXPECT_EQ(refused("18AWL1212").code, Code::place_unreadable);
  EXPECT_EQ(refused("61TWL1212").code, Code::place_out_of_range);
  EXPECT_EQ(refused("18TIL1212").code, Code::place_unreadable);
  EXPECT_EQ(refused("18TAA1212").code, Code::place_unreadable);
  EXPECT_EQ(refused("MGRS hello").code, Code::place_unreadable);
  EXPECT_EQ(refused("18T").code, Code::place_unreadable);
  EXPECT_EQ(refused("18TWL" + std::string(24, '1')).code, Code::place_unreadable);
}

// The zones of NGA.SIG.0012: 32V is widened over south-west Norway; 31X, 33X, 35X, 37X share Svalbard.
TEST(GridPlace, NorwayAndSvalbardZones) {
  for (const auto& [lat, lon, zone] : {std::tuple{60.0, 2.9, 31},
                                       {60.0, 3.0, 32},
                                       {60.0, 5.3, 32},
                                       {55.9, 5.3, 31},
                                       {64.0, 5.3, 31},
                                       {63.9, 3.1, 32},
                                       {78.0, 8.9, 31},
                                       {78.0, 9.1, 33},
                                       {78.0, 20.9, 33},
                                       {78.0, 21.1, 35},
                                       {78.0, 32.9, 35},
                                       {78.0, 33.1, 37},
                                       {78.0, 41.9, 37},
                                       {78.0, 42.1, 38},
                                       {71.9, 9.1, 32},
                                       {72.0, 9.1, 33}}) {
    int given = 0;
    bool north = false;
    double x = 0;
    double y = 0;
    UTMUPS::Forward(lat, lon, given, north, x, y, zone);
    const std::string metres = " north " + format_trimmed(x, 3) + ' ' + format_trimmed(y, 3);
    const Place place = read(std::to_string(zone) + metres);
    EXPECT_LT(apart(place, lat, lon), 0.01) << lat << ' ' << lon;
    // On the edge itself the rounding of metres may fall to either side.
    const bool edge = lon == 3.0 || lat == 64.0 || lat == 72.0;
    EXPECT_FALSE(place.zone_mismatch && !edge) << lat << ' ' << lon;
  }
  double x = 0;
  double y = 0;
  int zone = 0;
  bool north = false;
  UTMUPS::Forward(60, 5.3, zone, north, x, y, 31);
  EXPECT_TRUE(read("31V " + format_trimmed(x, 3) + ' ' + format_trimmed(y, 3)).zone_mismatch);
}

TEST(GridPlace, TenThousandRandomPlacesInEveryNotation) {
  std::mt19937 random(32633);
  std::uniform_real_distribution<double> sine(-1, 1);
  std::uniform_real_distribution<double> turn(-180, 180);
  std::uniform_int_distribution<int> precisions(0, 8);
  for (int i = 0; i < 10'000; ++i) {
    const double lat = std::asin(sine(random)) / 0.017453292519943295;
    const double lon = turn(random);
    int zone = 0;
    bool north = false;
    double x = 0;
    double y = 0;
    UTMUPS::Forward(lat, lon, zone, north, x, y);
    const std::string metres = format_fixed(x, 6) + ' ' + format_fixed(y, 6);
    const std::string half = north ? "north" : "south";
    const Place grid = read(zone == 0 ? "UPS " + half + ' ' + metres : std::to_string(zone) + half + ' ' + metres);
    EXPECT_LT(apart(grid, lat, lon), 1e-5) << metres;
    EXPECT_EQ(grid.utm_zone_given.value_or(0), zone);
    EXPECT_FALSE(grid.zone_mismatch && std::abs(std::remainder(lon, 3)) > 1e-6);

    std::string mgrs;
    MGRS::Forward(zone, north, x, y, precisions(random), mgrs);
    int precision = 0;
    double centre_lat = 0;
    double centre_lon = 0;
    MGRS::Reverse(mgrs, zone, north, x, y, precision, true);
    UTMUPS::Reverse(zone, north, x, y, centre_lat, centre_lon);
    const Place square = read(mgrs);
    EXPECT_LT(apart(square, centre_lat, centre_lon), 1e-6) << mgrs;
    EXPECT_FALSE(square.zone_mismatch) << mgrs;

    using GeographicLib::DMS;
    const std::string dms =
        DMS::Encode(lat, DMS::SECOND, 5, DMS::LATITUDE) + ' ' + DMS::Encode(lon, DMS::SECOND, 5, DMS::LONGITUDE);
    double dms_lat = 0;
    double dms_lon = 0;
    DMS::DecodeLatLon(dms.substr(0, dms.find(' ')), dms.substr(dms.find(' ') + 1), dms_lat, dms_lon);
    EXPECT_EQ(read(dms).lat_deg, dms_lat) << dms;
    EXPECT_LT(apart(read(dms), dms_lat, dms_lon), 1e-6) << dms;
    EXPECT_NEAR(read(dms).lat_deg, lat, 1e-8);
  }
}

}  // namespace
}  // namespace agonic::geodesy
