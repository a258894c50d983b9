// How added values print: 3 decimals, exact ties to even as C's printf (ISO C 7.21.6.1 on IEC 60559 doubles).
#include "model/exchange/added_text.hpp"

#include <cstdio>
#include <random>

#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

std::string cell(reading::Added column, double value, char mark = '.') {
  Text out;
  append_cell(column, value, mark, out);
  return std::string(out.view());
}

TEST(AddedText, ExactTiesGoToEven) {
  EXPECT_EQ(cell(reading::Added::declination, 0.0625), "0.062");
  EXPECT_EQ(cell(reading::Added::declination, 0.1875), "0.188");
  EXPECT_EQ(cell(reading::Added::declination, -2.3125), "-2.312");
  EXPECT_EQ(cell(reading::Added::azimuth_true, 10.4375, ','), "10,438");
}

TEST(AddedText, FullCircleIsZeroAndZeroHasNoSign) {
  EXPECT_EQ(cell(reading::Added::azimuth_true, 359.9996), "0.000");
  EXPECT_EQ(cell(reading::Added::azimuth_grid, 359.9994), "359.999");
  EXPECT_EQ(cell(reading::Added::azimuth_at_target, 359.99951), "0.000");
  EXPECT_EQ(cell(reading::Added::azimuth_true, -0.0), "0.000");
  EXPECT_EQ(cell(reading::Added::declination, -0.0004), "0.000");
  EXPECT_EQ(cell(reading::Added::correction, -0.0), "0.000");
}

TEST(AddedText, DifferencesStayInTheirInterval) {
  EXPECT_EQ(cell(reading::Added::correction, -179.9999), "180.000");
  EXPECT_EQ(cell(reading::Added::correction, 180), "180.000");
  EXPECT_EQ(cell(reading::Added::declination, -179.999), "-179.999");
}

TEST(AddedText, AsPrintf) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> angle(0.001, 359.999);
  for (int i = 0; i < 20000; ++i) {
    const double value = i % 2 ? angle(random) : static_cast<double>(random() % 2879990 + 8) / 8000;
    char expected[32];
    std::snprintf(expected, sizeof expected, "%.3f", value);
    ASSERT_EQ(cell(reading::Added::azimuth_true, value), std::string(expected) == "360.000" ? "0.000" : expected);
  }
}

TEST(AddedText, Utf8) {
  for (const std::string_view good : {"", "a", "\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xEE\x80\x80",
                                      "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"})
    EXPECT_TRUE(is_utf8(good)) << good;
  for (const std::string_view bad : {"\x80", "\xC0\x80", "\xC1\xBF", "\xC2", "\xC2\x41", "\xE0\x9F\xBF", "\xED\xA0\x80",
                                     "\xE2\x82", "\xF0\x8F\xBF\xBF", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF"})
    EXPECT_FALSE(is_utf8(bad)) << testing::PrintToString(bad);
}

}  // namespace
}  // namespace agonic::exchange
