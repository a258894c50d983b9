// Declination as people write it, and the notes in map margins. The forms are those of common practice.
#include "model/units/declination_text.hpp"

#include <gtest/gtest.h>

#include <string>

#include "model/units/map_note.hpp"

namespace agonic {
namespace {

DeclinationReading column() { return {"set_declination", UnsignedMeans::east, LetterO::undeclared, '.'}; }
DeclinationReading typed() { return {"set_declination", UnsignedMeans::refused, LetterO::undeclared, '.'}; }

double read(const std::string& text, const DeclinationReading& how = column()) {
  const auto value = parse_declination(text, how);
  EXPECT_TRUE(value) << text << ": " << (value ? "" : value.problem().text());
  return value ? *value : 999;
}

Problem refused(const std::string& text, const DeclinationReading& how = column()) {
  const auto value = parse_declination(text, how);
  EXPECT_FALSE(value) << text << " -> " << (value ? *value : 0);
  if (value) return {};
  EXPECT_EQ(value.problem().value, text);
  EXPECT_EQ(value.problem().field, "set_declination");
  EXPECT_FALSE(value.problem().remedy.empty()) << text;
  return value.problem();
}

bool has(const std::string& text, const std::string& piece) { return text.find(piece) != std::string::npos; }

TEST(Declination, ReadsEveryFormWithASide) {
  for (const auto& how : {column(), typed()}) {
    for (const char* text :
         {"13.7W", "W13.7", "13.7 W", "w 13.7", "13.7\u00B0W", "13.7 west", "West 13.7", "-13.7",
          "\u2212"
          "13.7",
          "13\u00B042'W", "W13\u00B042'", "13 42 W", "-13\u00B042'", "13\u00B042'00\"W", "13.7 W (-13.7)",
          "13.70\u00B0 W (\u2212"
          "13.70)"})
      EXPECT_NEAR(read(text, how), -13.7, 1e-12) << text;
    for (const char* text : {"13.7E", "E13.7", "+13.7", "13\u00B042'E", "+13.7E", "13.7 E (+13.7)"})
      EXPECT_NEAR(read(text, how), 13.7, 1e-12) << text;
    EXPECT_EQ(read("0", how), 0);
    EXPECT_EQ(read("0.00", how), 0);
    EXPECT_EQ(read("0.00 (0.00)", how), 0);
  }
}

TEST(Declination, KeepsTheSideOfLessThanADegree) {
  EXPECT_EQ(read("0\u00B030'W"), -0.5);
  EXPECT_EQ(read("-0\u00B030'"), -0.5);
  EXPECT_EQ(read("30'W"), -0.5);
}

TEST(Declination, UnsignedIsEastInAColumnAndRefusedWhereAPersonTypesIt) {
  EXPECT_EQ(read("13.7"), 13.7);
  const Problem problem = refused("13.7", typed());
  EXPECT_EQ(problem.code, Code::declination_unsigned);
  EXPECT_TRUE(has(problem.message, "13.7 E or 13.7 W")) << problem.message;
}

TEST(Declination, RefusesASignAgainstALetter) {
  for (const char* text : {"-13.7E", "-13.7W", "+13.7W", "W-13.7", "E-13.7",
                           "\u2212"
                           "13.7W",
                           "\u2212"
                           "13.7E"})
    EXPECT_EQ(refused(text).code, Code::declination_sign) << text;
  EXPECT_EQ(refused("W13.7E").code, Code::declination_sign);
  EXPECT_EQ(refused("W13.7W").code, Code::declination_sign);
  EXPECT_EQ(refused("13.69 W (+13.69)").code, Code::declination_sign);
  EXPECT_EQ(refused("13.69 (-13.69)").code, Code::declination_sign);
}

TEST(Declination, RefusesTheLetterOWithBothMeaningsUnlessDeclared) {
  const Problem problem = refused("8\u00B040'O");
  EXPECT_TRUE(has(problem.message, "8.666667 W or 8.666667 E")) << problem.message;
  auto how = column();
  how.letter_o = LetterO::west;
  EXPECT_EQ(read("13.7O", how), -13.7);
  how.letter_o = LetterO::east;
  EXPECT_EQ(read("13.7 O", how), 13.7);
}

// A deed of 1890 apparently read 9 degrees 80 minutes.
TEST(Declination, RefusesSixtyMinutesWithBothReadings) {
  const Problem problem = refused("9\u00B080'W");
  EXPECT_EQ(problem.code, Code::sixtieths);
  EXPECT_TRUE(has(problem.message, "9.80") && has(problem.message, "10\u00B020'")) << problem.message;
  EXPECT_EQ(refused("9\u00B060'E").code, Code::sixtieths);
  EXPECT_EQ(refused("9\u00B010'60\"E").code, Code::sixtieths);
}

TEST(Declination, RefusesWhatIsNone) {
  for (const char* text : {"E", "W", "east", "13.7N", "abc", "13,7W", "nan", "inf", "0x10", "13.7WE", "1e999"})
    refused(text);
  EXPECT_EQ(refused("").code, Code::missing_value);
  EXPECT_EQ(refused("181W").code, Code::out_of_range);
  EXPECT_EQ(read("180W"), -180);
  auto comma = column();
  comma.decimal_mark = ',';
  EXPECT_EQ(read("13,7W", comma), -13.7);
  refused("13.7W", comma);
}

TEST(Declination, IsWrittenBothWays) {
  EXPECT_EQ(declination_text(-13.6891), "13.69 W (-13.69)");
  EXPECT_EQ(declination_text(10), "10.00 E (+10.00)");
  EXPECT_EQ(declination_text(0), "0.00 (0.00)");
  EXPECT_EQ(declination_text(-0.004), "0.00 (0.00)");
  EXPECT_EQ(declination_text(-0.006), "0.01 W (-0.01)");
  EXPECT_EQ(declination_text(-14, 0), "14 W (-14)");
  EXPECT_EQ(declination_side_text(2.5, 1), "2.5 E");
  for (double degrees : {-179.99, -13.69, -0.01, 0.0, 0.01, 10.0, 180.0})
    EXPECT_EQ(read(declination_text(degrees), typed()), degrees);
}

TEST(MapNote, GivesItsOwnAnswerByItsStraightLine) {
  for (const char* text : {"8\u00B040'W 2009, 1'W a year", "8\u00B040' W 2009, -1'/yr",
                           "8\u00B040'W (2009) 1'W per year", "8\u00B040'W,2009, 1'W annually"}) {
    ASSERT_TRUE(looks_like_map_note(text)) << text;
    const auto note = parse_map_note(text, column());
    ASSERT_TRUE(note) << text << note.problem().text();
    EXPECT_NEAR(note->declination_deg, -(8 + 40 / 60.0), 1e-12);
    EXPECT_EQ(note->year, 2009.5);
    EXPECT_NEAR(note->change_deg_per_year, -1 / 60.0, 1e-12);
    EXPECT_NEAR(note->at(2019.5), -(8 + 50 / 60.0), 1e-12);
  }
  EXPECT_EQ(parse_map_note("8W 2009.0", column())->year, 2009.0);
  EXPECT_EQ(parse_map_note("8W 2009", column())->change_deg_per_year, 0);
}

TEST(MapNote, RefusesAChangeWithoutItsUnitOrSideAndANoteWithoutItsSide) {
  const auto bare = parse_map_note("8\u00B040'W 2009, 1W a year", column());
  ASSERT_FALSE(bare);
  EXPECT_TRUE(has(bare.problem().message, "unit")) << bare.problem().message;
  EXPECT_FALSE(parse_map_note("8\u00B040'W 2009, 1' a year", column()));
  EXPECT_FALSE(parse_map_note("8\u00B040' 2009, 1'W a year", column()));
  EXPECT_FALSE(parse_map_note("8\u00B040'W 2009, decreasing", column()));
}

TEST(MapNote, IsNotSeenInPlainDeclinations) {
  for (const char* text : {"13.7W", "1750", "8,1750", "8,2009", "13.69 W (-13.69)", "0", "13 42 30"})
    EXPECT_FALSE(looks_like_map_note(text)) << text;
}

}  // namespace
}  // namespace agonic
