// Latitude and longitude in every writing, and every refusal.
#include "model/geodesy/place.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "tests/model/geodesy/place_reading.hpp"

namespace agonic::geodesy {
namespace {

TEST(Place, LatitudeAndLongitudeInManyWritings) {
  for (const std::string text : {"42.25 -71.35",
                                 "42.25,-71.35",
                                 " 42.25 ,\t-71.35 ",
                                 "42.25; -71.35",
                                 "42.25N 71.35W",
                                 "42.25 n 71.35 w",
                                 "N42.25 W71.35",
                                 "N 42.25, W 71.35",
                                 "71.35W 42.25N",
                                 "W71.35 N42.25",
                                 "W71.35, N42.25",
                                 "71.35 W; 42.25 N",
                                 "42\u00B015'N 71\u00B021'W",
                                 "42\u00BA 15\u2032 N, 71\u00BA 21\u2032 W",
                                 "42\u02DA15\u2019N 71\u02DA21\u2019W",
                                 "42\u00B015'00\"N 71\u00B021'00\"W",
                                 "N42\u00B015'0\u2033 W71\u00B021'0\u2033",
                                 "42 15 N 71 21 W",
                                 "42 15 0 -71 21 0",
                                 "42 15 -71 21",
                                 "42:15:00 -71:21:00",
                                 "42:15N, 71:21W",
                                 "42d15m0s N 71d21m0s W",
                                 "42d15m00sN 71d21m00sW",
                                 "42 deg 15 min N 71 deg 21 min W",
                                 "42\u00B015' \u221271\u00B021'",
                                 "42.25N -71.35",
                                 "42.25 71.35W",
                                 "42.25 W71.35",
                                 "north 42.25 west 71.35",
                                 "42.25 nord, 71.35 oeste",
                                 "42.25N71.35W",
                                 "+42.25 -71.35",
                                 "42\xB0"
                                 "15'N 71\xB0"
                                 "21'W"}) {
    const Place place = read(text);
    EXPECT_DOUBLE_EQ(place.lat_deg, 42.25) << text;
    EXPECT_DOUBLE_EQ(place.lon_deg, -71.35) << text;
    EXPECT_EQ(place.notation, Place::Notation::degrees);
    EXPECT_TRUE(place.text_meaning.empty());
    EXPECT_FALSE(place.utm_zone_given);
  }
  EXPECT_DOUBLE_EQ(read("42 15 71 21").lon_deg, 71.35);  // without letters and signs: north and east
}

TEST(Place, LatAndLonInTwoTexts) {
  const Letters none;
  const auto place = parse_lat_lon("42\u00B015'", "71\u00B021'W", none);
  ASSERT_TRUE(place);
  EXPECT_DOUBLE_EQ(place->lat_deg, 42.25);
  EXPECT_DOUBLE_EQ(place->lon_deg, -71.35);
  EXPECT_DOUBLE_EQ(parse_lat_lon("42,25", "-71,35", none, ',')->lon_deg, -71.35);
  EXPECT_DOUBLE_EQ(parse_lat_lon("1e-05", "-1e-05", none)->lon_deg, -1e-5);
  EXPECT_EQ(parse_lat_lon("-0\u00B030'", "-0 15 0", none)->lat_deg, -0.5);
  EXPECT_EQ(parse_lat_lon("-0\u00B030'", "-0 15 0", none)->lon_deg, -0.25);

  const auto code = [&](std::string_view lat, std::string_view lon) {
    const auto result = parse_lat_lon(lat, lon, none);
    EXPECT_FALSE(result) << lat << " " << lon;
    return result ? Code::internal : result.problem().code;
  };
  EXPECT_EQ(code("-100.5", "42"), Code::place_swapped);
  EXPECT_EQ(code("71W", "42N"), Code::place_swapped);
  EXPECT_EQ(code("71W", "42"), Code::contradiction);
  EXPECT_EQ(code("42", "42N"), Code::contradiction);
  EXPECT_EQ(code("91N", "42"), Code::place_out_of_range);
  EXPECT_EQ(code("-91", "120"), Code::place_out_of_range);
  EXPECT_EQ(code("4217.5", "-71"), Code::place_out_of_range);
  EXPECT_EQ(code("42", "-180.001"), Code::place_out_of_range);
  EXPECT_EQ(code("42", "360.001"), Code::place_out_of_range);
  EXPECT_EQ(code("42", "71\u00B060'W"), Code::sixtieths);
  EXPECT_EQ(code("42", "71O"), Code::place_ambiguous);
  for (const std::string bad :
       {"", " ", "nan", "NaN", "inf", "-inf", "0x1F", "1e999", "1e+999", "1e5", "N", "--4", "4-", "42,25"}) {
    const auto lat = parse_lat_lon(bad, "0", none);
    ASSERT_FALSE(lat) << bad;
    EXPECT_EQ(lat.problem().code, Code::place_unreadable) << bad;
    EXPECT_EQ(lat.problem().field, "lat");
    EXPECT_EQ(lat.problem().value, bad);
    EXPECT_FALSE(lat.problem().remedy.empty());
    const auto lon = parse_lat_lon("0", bad, none);
    ASSERT_FALSE(lon) << bad;
    EXPECT_EQ(lon.problem().code, Code::place_unreadable) << bad;
    EXPECT_EQ(lon.problem().field, "lon");
  }
}

TEST(Place, PolesAndAntimeridian) {
  EXPECT_EQ(read("90 0").lat_deg, 90);
  EXPECT_EQ(read("-90 0").lat_deg, -90);
  EXPECT_EQ(read("0 -180").lon_deg, 180);
  EXPECT_EQ(read("0 180").lon_deg, 180);
  EXPECT_EQ(read("0 181").lon_deg, -179);
  EXPECT_EQ(read("0 360").lon_deg, 0);
  EXPECT_EQ(read("0 180W").lon_deg, 180);
  EXPECT_FALSE(std::signbit(read("-0 -0").lat_deg));
  EXPECT_FALSE(std::signbit(read("-0 -0").lon_deg));
  EXPECT_EQ(refused("90.0001N 0E").code, Code::place_out_of_range);
  EXPECT_EQ(refused("0N 181E").code, Code::place_out_of_range);
}

TEST(Place, SwappedAndOutOfRange) {
  EXPECT_EQ(refused("-171.35 42.25").code, Code::place_swapped);
  EXPECT_EQ(refused("100, -42").code, Code::place_swapped);
  EXPECT_EQ(refused("100 100").code, Code::place_out_of_range);
  EXPECT_EQ(refused("91N 10E").code, Code::place_out_of_range);
  EXPECT_EQ(refused("400 10").code, Code::place_out_of_range);
  EXPECT_EQ(refused("45 361").code, Code::place_out_of_range);
  EXPECT_EQ(read("100E, 42").lon_deg, 100);  // a letter settles the order
}

TEST(Place, TheLetterOIsRefusedWithBothMeanings) {
  for (const std::string text : {"42.25N 71.35O", "42.25 N, O 71.35", "71.35 o 42.25 n"}) {
    const Problem problem = refused(text);
    EXPECT_EQ(problem.code, Code::place_ambiguous);
    EXPECT_TRUE(says(problem, "71.35 W or 71.35 E")) << problem.text();
    for (const std::string west : {"es", "fr", "it", "pt"}) EXPECT_DOUBLE_EQ(read(text, west).lon_deg, -71.35);
    for (const std::string east : {"de", "nl", "sv"}) EXPECT_DOUBLE_EQ(read(text, east).lon_deg, 71.35);
    EXPECT_EQ(refused(text, "en").code, Code::place_ambiguous);
    EXPECT_EQ(refused(text, "band").code, Code::place_ambiguous);
  }
}

TEST(Place, LettersAreDeclaredByWords) {
  const auto both = parse_letters(" DE, hemisphere");
  ASSERT_TRUE(both);
  EXPECT_EQ(both->o, LetterO::east);
  EXPECT_EQ(both->zone_s, Letters::ZoneS::hemisphere);
  EXPECT_EQ(*parse_letters(""), Letters{});
  EXPECT_EQ(parse_letters("es band")->zone_s, Letters::ZoneS::band);
  EXPECT_EQ(parse_letters("xx").problem().code, Code::unknown_name);
  EXPECT_EQ(parse_letters("es de").problem().code, Code::contradiction);
  EXPECT_EQ(parse_letters("band hemisphere").problem().code, Code::contradiction);
  EXPECT_TRUE(parse_letters("es fr"));
}

TEST(Place, SignAgainstLetterIsRefused) {
  for (const std::string text : {"-42N 71W", "42N -71W", "42N -71E", "+42S 71E", "42N +71W", "N-42 W71", "-42S 71E"})
    EXPECT_EQ(refused(text).code, Code::contradiction) << text;
  EXPECT_TRUE(says(refused("42N -71W"), "71 E or 71 W"));
  EXPECT_EQ(read("+42N +71E").lon_deg, 71);
}

TEST(Place, MinutesOfSixtyAreRefusedWithBothReadings) {
  const Problem problem = refused("9\u00B080'N 71W");
  EXPECT_EQ(problem.code, Code::sixtieths);
  EXPECT_TRUE(says(problem, "9.80 degrees, or 10\u00B020'"));
}

TEST(Place, WhatIsNotClearIsRefused) {
  for (const std::string text : {"",
                                 "  ",
                                 "42",
                                 "42N",
                                 "nan nan",
                                 "NaN 4",
                                 "inf 4",
                                 "4 -inf",
                                 "0x10 20",
                                 "1e999 4",
                                 "4 1e999",
                                 "1e5 4",
                                 "hello",
                                 "N W",
                                 "42 17 30",
                                 "42 17 -71 -21",
                                 "42-71",
                                 "1 2 3 4 5",
                                 "42,283 -71,35",
                                 "42;71;3",
                                 "42N 71N",
                                 "42E 71W",
                                 "42N 71W 3",
                                 ",",
                                 "42,",
                                 ";71",
                                 "42.3.1 71",
                                 "42 71 \x01",
                                 "42 71 \xF0\x9F\x98\x80",
                                 "\xFF\xFE",
                                 "4\xC2 5"}) {
    EXPECT_EQ(refused(text).code, Code::place_unreadable) << text;
  }
  EXPECT_EQ(refused(std::string(100'000, '4')).code, Code::place_unreadable);
  EXPECT_EQ(refused("42 N 71").code, Code::place_ambiguous);
  EXPECT_EQ(refused("42 W 71").code, Code::place_ambiguous);
  EXPECT_EQ(refused("42d17m30s, 71d21m0sW").code, Code::place_ambiguous);  // seconds or south
  EXPECT_TRUE(says(refused("42.283 -71.35", "", ','), "decimal mark"));
}

TEST(Place, DecimalCommaWhereItIsDeclared) {
  for (const std::string text : {"42,25 -71,35", "42,25, -71,35", "42,25; -71,35", "42,25N 71,35W", "42,25,-71,35"}) {
    EXPECT_DOUBLE_EQ(read(text, "", ',').lat_deg, 42.25) << text;
    EXPECT_DOUBLE_EQ(read(text, "", ',').lon_deg, -71.35) << text;
  }
  EXPECT_EQ(refused("42,71", "", ',').code, Code::place_unreadable);  // one number
}

TEST(Place, NoiseNeverThrowsAndNeverLeavesTheEarth) {
  std::mt19937 random(99);
  const std::vector<std::string> pieces{
      "42",    "71.35",  "18", "S",  "N",       "W",        "O",    "E",    " ",   " ",      ",",   ";",
      "-",     "\u00B0", "'",  "\"", "T",       "WL",       "1234", "utm",  "UPS", "500000", "mE",  "MGRS",
      "north", "d",      "m",  "s",  "4511322", "99999999", "e",    "\xB0", ":",   "0",      "XNS", "e-5"};
  std::uniform_int_distribution<std::size_t> pick(0, pieces.size() - 1);
  std::uniform_int_distribution<int> length(1, 9);
  int accepted = 0;
  for (int i = 0; i < 200'000; ++i) {
    std::string text;
    for (int j = length(random); j > 0; --j) text += pieces[pick(random)];
    const auto place = parse_place(text, Letters{}, i % 3 ? '.' : ',');
    if (!place) {
      ASSERT_EQ(place.problem().value, text);
      continue;
    }
    ++accepted;
    ASSERT_LE(std::abs(place->lat_deg), 90) << text;
    ASSERT_TRUE(place->lon_deg > -180 && place->lon_deg <= 180) << text;
  }
  EXPECT_GT(accepted, 100);
}

TEST(Height, MetresInItsRange) {
  EXPECT_EQ(*parse_height("1000"), 1000);
  EXPECT_EQ(*parse_height("-10000"), -10000);
  EXPECT_EQ(*parse_height("850000"), 850000);
  EXPECT_EQ(*parse_height("12,5", ','), 12.5);
  EXPECT_FALSE(std::signbit(*parse_height("-0")));
  for (const std::string text : {"-10000.01", "850000.01", "9999999"}) {
    const auto height = parse_height(text);
    ASSERT_FALSE(height);
    EXPECT_EQ(height.problem().code, Code::height_out_of_range);
    EXPECT_EQ(height.problem().field, "height_m");
  }
  for (const std::string text : {"", "nan", "inf", "0x10", "1e999", "1000 ft", "1,000"}) {
    const auto height = parse_height(text);
    ASSERT_FALSE(height) << text;
    EXPECT_EQ(height.problem().code, Code::not_a_number) << text;
  }
}

}  // namespace
}  // namespace agonic::geodesy
