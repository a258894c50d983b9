// Degrees, minutes and seconds against GeographicLib's DMS, and the refusals of our own.
#include "model/units/dms.hpp"

#include <gtest/gtest.h>

#include <GeographicLib/DMS.hpp>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "model/units/number.hpp"

namespace agonic {
namespace {

double read(const std::string& text, char mark = '.') {
  const auto result = parse_degrees(text, mark, "angle");
  EXPECT_TRUE(result) << text << ": " << (result ? "" : result.problem().text());
  return result ? result->degrees : std::nan("");
}

Problem refused(const std::string& text, char mark = '.') {
  const auto result = parse_degrees(text, mark, "angle");
  EXPECT_FALSE(result) << text;
  return result ? Problem{} : result.problem();
}

double by_geographiclib(const std::string& text) {
  GeographicLib::DMS::flag flag{};
  return GeographicLib::DMS::Decode(text, flag);
}

TEST(Dms, ReadsEverySymbolAsGeographicLibDoes) {
  for (const std::string degree : {"\u00B0", "\u00BA", "\u02DA", "d", "*"})
    for (const std::string minute : {"'", "\u2032", "\u2019"})
      for (const std::string second : {"\"", "\u2033", "\u201D", "''"}) {
        const std::string text = "13" + degree + "42" + minute + "30.5" + second;
        EXPECT_EQ(read(text), by_geographiclib(text)) << text;
        EXPECT_EQ(read("-" + text), by_geographiclib("-" + text)) << text;
        EXPECT_EQ(read("13" + degree + "42.25" + minute), by_geographiclib("13" + degree + "42.25" + minute)) << text;
        EXPECT_EQ(read("13.75" + degree), 13.75);
      }
}

TEST(Dms, AgreesWithGeographicLibOnRandomAngles) {
  std::mt19937 random(20251113);
  std::uniform_int_distribution<int> degrees(0, 359);
  std::uniform_int_distribution<int> sixty(0, 59);
  std::uniform_int_distribution<int> thousand(0, 999);
  for (int i = 0; i < 10'000; ++i) {
    std::string d = i % 2 ? "-" : "";
    d += std::to_string(degrees(random));
    const std::string m = std::to_string(sixty(random));
    const std::string s = std::to_string(sixty(random)) + "." + std::to_string(thousand(random));
    EXPECT_EQ(read(d + ":" + m + ":" + s), by_geographiclib(d + ":" + m + ":" + s));
    EXPECT_EQ(read(d + "\u00B0" + m + "'" + s + "\""), by_geographiclib(d + "d" + m + "'" + s + "\""));
    EXPECT_EQ(read(d + " " + m + " " + s), by_geographiclib(d + ":" + m + ":" + s));
    EXPECT_EQ(read(d + "d" + m + "m" + s + "s"), by_geographiclib(d + ":" + m + ":" + s));
    EXPECT_EQ(read(d + "\u00B0 " + s + "'"), by_geographiclib(d + "d" + s + "'"));
    EXPECT_EQ(read(d + "." + m), by_geographiclib(d + "." + m));
  }
}

TEST(Dms, TellsWhatItWasWrittenIn) {
  EXPECT_FALSE(parse_degrees("13.7", '.', "angle")->had_minutes);
  EXPECT_TRUE(parse_degrees("13\u00B042'", '.', "angle")->had_minutes);
  EXPECT_FALSE(parse_degrees("13\u00B042'", '.', "angle")->had_seconds);
  EXPECT_TRUE(parse_degrees("13 42 0", '.', "angle")->had_seconds);
  EXPECT_DOUBLE_EQ(read("30'"), 0.5);
  EXPECT_DOUBLE_EQ(read("13 deg 30 min"), 13.5);
}

TEST(Dms, KeepsTheSignOfZeroDegrees) {
  EXPECT_EQ(read("-0\u00B030'"), -0.5);
  EXPECT_EQ(read("\u22120 30"), -0.5);  // the typographic minus
  EXPECT_EQ(read("+0:30"), 0.5);
  EXPECT_TRUE(std::signbit(read("-0")));
}

TEST(Dms, ReadsLatin1DegreesOnlyWhereTheyAreNoUtf8) {
  EXPECT_EQ(read("13\xB0 30'"), 13.5);
  EXPECT_EQ(read("13\xBA 30'"), 13.5);
  EXPECT_EQ(refused("13\xC3\xB0 30'").code, Code::not_a_number);  // a letter of UTF-8 that ends in the same byte
  EXPECT_EQ(ascii_angle("1\xC3\xB0 2\u00B0"), "1\xC3\xB0 2*");
}

TEST(Dms, RefusesSixtyAndMoreWithBothReadings) {
  const Problem minutes = refused("9\u00B080'");
  EXPECT_EQ(minutes.code, Code::sixtieths);
  EXPECT_EQ(minutes.value, "9\u00B080'");
  EXPECT_NE(minutes.message.find("9.80 degrees, or 10\u00B020'"), std::string::npos) << minutes.message;
  EXPECT_NE(refused("-9 80").message.find("-9.80 degrees, or -10\u00B020'"), std::string::npos);
  EXPECT_NE(refused("9\u00B020'75\"").message.find("9.2075 degrees, or 9\u00B021'15\""), std::string::npos);
  EXPECT_NE(refused("59\u00B059'60\"").message.find("60\u00B000'00\""), std::string::npos);
  EXPECT_NE(refused("9\u00B080.5'").message.find("9.805 degrees, or 10\u00B020.5'"), std::string::npos);
  EXPECT_EQ(refused("9:60").code, Code::sixtieths);
  EXPECT_EQ(read("9\u00B059.999'"), by_geographiclib("9d59.999'"));
}

TEST(Dms, AFractionStandsInTheLastPartOnly) {
  EXPECT_EQ(refused("13.5\u00B030'").code, Code::not_a_number);
  EXPECT_EQ(refused("13 42.5 30").code, Code::not_a_number);
}

TEST(Dms, ReadsTheDecimalMarkThatIsDeclared) {
  EXPECT_EQ(read("13,75", ','), 13.75);
  EXPECT_EQ(read("13\u00B042,5'", ','), by_geographiclib("13d42.5'"));
  const Problem wrong = refused("13.75", ',');
  EXPECT_NE(wrong.message.find("','"), std::string::npos);
  EXPECT_EQ(refused("13,75").code, Code::not_a_number);
}

TEST(Dms, ReadsSmallNumbersAsProgramsWriteThem) {
  EXPECT_EQ(read("1e-05"), 1e-5);
  EXPECT_EQ(read("-2.5E-7"), -2.5e-7);
}

TEST(Dms, RefusesWhatIsNoAngle) {
  for (const std::string text :
       {"",       " ",   "-",     "+-3",        "--3",         "nan",    "inf",    "0x10",  "1e999",
        "1e+999", "1e5", "1.2.3", "13 42 30 1", "13'42\u00B0", "13::42", "13:42:", ":42",   "13\u00B0\u00B0",
        "13 -42", "x",   "13k",   "13\"42'",    "\u00B0",      ".",      "13:42'", "13d42d"}) {
    const Problem problem = refused(text);
    EXPECT_EQ(problem.code, Code::not_a_number) << text;
    EXPECT_EQ(problem.field, "angle");
    EXPECT_EQ(problem.value, text);
    EXPECT_FALSE(problem.remedy.empty());
  }
}

TEST(Dms, NeverThrowsOnNoise) {
  std::mt19937 random(7);
  const std::string alphabet = "0123456789 .,-+:'\"dmsNSEWe*\xB0\xC2\xE2\x80\xB2\xB3";
  std::uniform_int_distribution<std::size_t> pick(0, alphabet.size() - 1);
  std::uniform_int_distribution<int> length(0, 14);
  int accepted = 0;
  for (int i = 0; i < 100'000; ++i) {
    std::string text;
    for (int j = length(random); j > 0; --j) text += alphabet[pick(random)];
    const auto result = parse_degrees(text, '.', "angle");
    if (!result) continue;
    ++accepted;
    EXPECT_TRUE(std::isfinite(result->degrees)) << printable(text);
  }
  EXPECT_GT(accepted, 100);
}

}  // namespace
}  // namespace agonic
