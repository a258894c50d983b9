// Numbers as text: what is read, what is refused, and printing as printf of the C library does it.
#include "model/units/number.hpp"

#include <gtest/gtest.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <random>
#include <string>

#include "model/units/yes.hpp"

namespace agonic {
namespace {

TEST(ParseNumber, ReadsPlainDecimals) {
  EXPECT_EQ(parse_number("13.7"), 13.7);
  EXPECT_EQ(parse_number(" +13.7 "), 13.7);
  EXPECT_EQ(parse_number("-13.7"), -13.7);
  EXPECT_EQ(parse_number("0"), 0.0);
  EXPECT_EQ(parse_number(".5"), 0.5);
  EXPECT_EQ(parse_number("5."), 5.0);
  EXPECT_EQ(parse_number("1e-5"), 1e-5);
  EXPECT_EQ(parse_number("2E2"), 200.0);
}

TEST(ParseNumber, KnowsOneDecimalMarkAndNoThousandsMark) {
  EXPECT_EQ(parse_number("13,7", ','), 13.7);
  EXPECT_FALSE(parse_number("13.7", ','));
  EXPECT_FALSE(parse_number("13,7"));
  EXPECT_FALSE(parse_number("1,000.5"));
  EXPECT_FALSE(parse_number("1.000,5", ','));
  EXPECT_FALSE(parse_number("1 000"));
  EXPECT_FALSE(parse_number("1'000"));
}

TEST(ParseNumber, RefusesWhatIsNoFiniteNumber) {
  for (const char* text : {"",
                           " ",
                           ".",
                           "-",
                           "+",
                           "e",
                           "e5",
                           "inf",
                           "-inf",
                           "Infinity",
                           "nan",
                           "NaN",
                           "0x10",
                           "0x1p4",
                           "1e",
                           "1e+",
                           "--5",
                           "+-5",
                           "-+5",
                           "5-",
                           "1.2.3",
                           "12a",
                           "1e5.5",
                           "1e999",
                           "-1e999",
                           "\xE2\x88\x92"
                           "5"})
    EXPECT_FALSE(parse_number(text)) << text;
  EXPECT_FALSE(parse_number(std::string(350, '9')));
  EXPECT_FALSE(parse_number(std::string(500, '1')));
}

TEST(ParseNumber, TakesWhatIsTooSmallForADoubleAsZeroButNothingTooLarge) {
  EXPECT_EQ(parse_number("1e-400"), 0.0);
  EXPECT_EQ(parse_number("-1e-400"), 0.0);
  EXPECT_EQ(parse_number("0." + std::string(350, '0') + "1"), 0.0);
  EXPECT_EQ(parse_number("1e-99999999999999999999"), 0.0);
  EXPECT_FALSE(parse_number("1e99999999999999999999"));
  // Too large in spite of a negative exponent.
  EXPECT_FALSE(parse_number("1" + std::string(350, '0') + "e-10"));
  // Too small in spite of a positive one.
  EXPECT_EQ(parse_number("0." + std::string(380, '0') + "1e+10"), 0.0);
}

std::string by_printf(double value, int decimals) {
  char buffer[400];
  std::snprintf(buffer, sizeof buffer, "%.*f", decimals, value);
  return buffer;
}

// Exact ties to even, as printf of the C library.
TEST(FormatFixed, RoundsExactTiesToEvenAsPrintf) {
  EXPECT_EQ(format_fixed(0.0625, 3), "0.062");
  EXPECT_EQ(format_fixed(0.1875, 3), "0.188");
  EXPECT_EQ(format_fixed(2.5, 0), "2");
  EXPECT_EQ(format_fixed(3.5, 0), "4");
  for (double value : {0.0625, 0.1875, 0.3125, 100.0625, 359.9375, 0.0005, 0.0015, 2.5, 3.5, 1.005, -2.5, -100.0625})
    for (int decimals : {0, 1, 2, 3}) EXPECT_EQ(format_fixed(value, decimals), by_printf(value, decimals)) << value;
  std::mt19937 random(7);
  std::uniform_real_distribution<double> any(-400, 400);
  for (int i = 0; i < 20'000; ++i) {
    const double value = any(random);
    if (value > -0.0006 && value < 0) continue;
    EXPECT_EQ(format_fixed(value, 3), by_printf(value, 3));
  }
  // Every count of decimals; sizes up to where a double has no fraction; ties and their neighbours.
  std::uniform_real_distribution<double> exponent(-6, 17);
  for (int i = 0; i < 50'000; ++i) {
    const int decimals = i % 10;
    double value = std::pow(10, exponent(random));
    if (i % 3 == 0) value = std::ldexp(std::nearbyint(std::ldexp(value, 10)), -10);
    if (i % 3 == 1) value = std::nextafter((std::floor(value * 100) + 0.5) / 100, i % 2 ? 0 : 1e18);
    ASSERT_EQ(format_fixed(value, decimals), by_printf(value, decimals)) << i;
  }
}

// The short way and the library's own reading (std::from_chars) are one.
TEST(PlainDecimal, IsTheSameDoubleAsTheLibraryReads) {
  std::mt19937_64 random(11);
  for (int i = 0; i < 50'000; ++i) {
    std::string text = std::to_string(random() % (std::uint64_t{1} << (1 + random() % 46)));
    if (i % 4 != 0) text.insert(1 + random() % text.size(), ".");
    if (text.back() == '.') text += '5';
    if (i % 3 == 0) text.insert(0, "-");
    if (text.size() > 15) continue;
    double expected = 0;
    ASSERT_EQ(std::from_chars(text.data(), text.data() + text.size(), expected).ptr, text.data() + text.size());
    const auto value = plain_decimal(text, '.');
    ASSERT_TRUE(value) << text;
    ASSERT_EQ(*value, expected) << text;
  }
  for (const char* other : {"", "-", ".5", "5.", "+5", "1e3", "1.2.3", "1,5", "--1", " 1", "0x1", "12345678901234567"})
    EXPECT_FALSE(plain_decimal(other, '.')) << other;
}

TEST(FormatFixed, PrintsNoMinusZero) {
  EXPECT_EQ(format_fixed(-0.0, 3), "0.000");
  EXPECT_EQ(format_fixed(-0.0004, 3), "0.000");
  EXPECT_EQ(format_fixed(-0.0005, 3), by_printf(-0.0005, 3));  // the double lies beyond the tie
  EXPECT_EQ(format_fixed(-0.0006, 3), "-0.001");
  EXPECT_EQ(format_trimmed(-0.0001), "0");
}

TEST(FormatAzimuth, PrintsWhatRoundsTo360As0) {
  EXPECT_EQ(format_azimuth(359.9996), "0.000");
  EXPECT_EQ(format_azimuth(359.9994), "359.999");
  EXPECT_EQ(format_azimuth(360), "0.000");
  EXPECT_EQ(format_azimuth(359.6, 0), "0");
  EXPECT_EQ(format_azimuth(36.0), "36.000");
}

TEST(FormatTrimmed, DropsTrailingZerosOnly) {
  EXPECT_EQ(format_trimmed(75), "75");
  EXPECT_EQ(format_trimmed(100), "100");
  EXPECT_EQ(format_trimmed(74.8771), "74.877");
  EXPECT_EQ(format_trimmed(74.5), "74.5");
}

TEST(Printable, ShowsHostileTextHarmlessly) {
  EXPECT_EQ(printable("a\nb"), "a\\x0Ab");
  EXPECT_EQ(printable("\xFF"), "\\xFF");
  EXPECT_EQ(printable("13\u00B0"), "13\u00B0");
  EXPECT_EQ(printable(std::string(100, 'a'), 10), "aaaaaaaaaa...");
}

TEST(Yes, HasAFewWordsForEachAndRefusesTheRest) {
  for (const char* text : {"yes", "YES", "true", "1", "y"}) EXPECT_TRUE(*parse_yes(text, "backsight")) << text;
  for (const char* text : {"", "no", "false", "0", "n"}) EXPECT_FALSE(*parse_yes(text, "backsight")) << text;
  const auto maybe = parse_yes("maybe", "backsight");
  ASSERT_FALSE(maybe);
  EXPECT_EQ(maybe.problem().field, "backsight");
  EXPECT_EQ(maybe.problem().value, "maybe");
}

}  // namespace
}  // namespace agonic
