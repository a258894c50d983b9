// The IAGA-2002 exchange format: header, orders of elements, units, missing values; and what is refused.
#include "model/survey/observatory.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <stdexcept>
#include <tuple>

#include "tests/model/reference_rows.hpp"
#include "tests/model/survey/observatory_fixture.hpp"

namespace agonic::survey {
namespace {

Observatory good(const std::string& text) {
  auto out = read_observatory(text);
  if (!out) throw std::runtime_error(out.problem().text());
  return *std::move(out);
}

TEST(Observatory, PublishedUnitsAndOrdersComeOut) {
  for (const auto& r : reference_rows("observatory_units.txt")) {
    const auto out =
        good(head(r[0]) + row(instant(1, 1), std::stod(r[1]), std::stod(r[2]), std::stod(r[3]), std::stod(r[4])));
    EXPECT_NEAR(*out.samples[0].declination_deg, std::stod(r[5]), reference_tolerance("observatory_units.txt")) << r[0];
    if (r[6] != "-") {
      EXPECT_NEAR(*out.samples[0].horizontal_nt, std::stod(r[6]), 0.05);
    }
  }
}

TEST(Observatory, TheOrderOfElementsMayChangeFromYearToYear) {
  // 1925 XYZF, 1940 DHZF, 1985 HDZF, 2000 FXYZ (as the files of one observatory went); here one field in all four.
  const double x = 17000, y = -1000, h = std::hypot(x, y), d = std::atan2(y, x) * 180 / 3.14159265358979 * 60;
  std::string text;
  int day = 0;
  for (const auto& [order, a, b, c, e] : {std::tuple{"XYZF", x, y, 4e4, 4e4}, std::tuple{"DHZF", d, h, 4e4, 4e4},
                                          std::tuple{"HDZF", h, d, 4e4, 4e4}, std::tuple{"FXYZ", 4e4, x, y, 4e4}})
    text += head(order) + row(instant(1, static_cast<unsigned>(++day)), a, b, c, e);
  const auto out = good(text);
  ASSERT_EQ(out.samples.size(), 4u);
  for (const Sample& s : out.samples) {
    EXPECT_NEAR(*s.declination_deg, d / 60, 1e-4);
    EXPECT_NEAR(*s.horizontal_nt, h, 0.01);
  }
  EXPECT_EQ(out.orders, (std::vector<std::string>{"XYZF", "DHZF", "HDZF", "FXYZ"}));
}

TEST(Observatory, NinesAndEightsAreNoValues) {
  const auto out =
      good(head() + row(instant(1, 1, 0, 0), 17000, 99999, 4e4, 4e4) +
           row(instant(1, 1, 0, 1), 99999, 88888, 99999, 88888) + row(instant(1, 1, 0, 2), 99999, 60, 4e4, 88888));
  EXPECT_FALSE(out.samples[0].declination_deg);
  EXPECT_FALSE(out.samples[1].declination_deg);
  EXPECT_NEAR(*out.samples[2].declination_deg, 1, 1e-9);
  EXPECT_FALSE(out.samples[2].horizontal_nt);
  EXPECT_EQ(out.missing, 2u);
  EXPECT_EQ(out.cadence, std::chrono::seconds(60));
}

TEST(Observatory, TheHeaderSaysWhereItIs) {
  const auto out = good(head("HDZF", "ZZZ", "55.317", "356.800") + row(instant(1, 1), 17000, 60, 4e4, 4e4));
  EXPECT_EQ(out.code, "ZZZ");
  EXPECT_EQ(out.name, "Invented");
  EXPECT_NEAR(out.lat_deg, 55.317, 1e-9);
  EXPECT_NEAR(out.lon_deg, -3.2, 1e-9);
}

std::string refusal(const std::string& text) {
  const auto out = read_observatory(text);
  return out ? "taken" : out.problem().text();
}

TEST(Observatory, WhatIsNotInTheFormatIsRefused) {
  const std::string line = row(instant(1, 1), 17000, 60, 4e4, 4e4);
  EXPECT_NE(refusal("").find("elements"), std::string::npos);
  EXPECT_NE(refusal("lat,lon\n1,2\n").find("IAGA-2002"), std::string::npos);
  EXPECT_NE(refusal(header_line("Format", "ANOTHER")).find("line 1"), std::string::npos);
  EXPECT_NE(refusal(head("HIZF") + line).find("neither D"), std::string::npos);
  EXPECT_NE(refusal(head("HDQF") + line).find("four elements"), std::string::npos);
  EXPECT_NE(refusal(head() + line + line).find("does not go on"), std::string::npos);
  EXPECT_NE(refusal(head() + line + head("HDZF", "YYY") + line).find("another observatory"), std::string::npos);
  EXPECT_NE(refusal(head() + row(instant(1, 1), 1, 99999, 1, 1)).find("no declination"), std::string::npos);
  std::string reported = head() + line;
  reported.replace(reported.find("HDZF"), 4, "XYZF");
  EXPECT_NE(refusal(reported).find("reports XYZF"), std::string::npos);
  EXPECT_NE(refusal(head("HDZF", "ZZZ", "95.0") + line).find("place"), std::string::npos);
}

TEST(Observatory, ABadLineIsLeftOutAndManyAreRefused) {
  std::string text = head();
  for (int i = 0; i < 200; ++i) text += row(instant(1, 1, i / 60, i % 60), 17000, 60, 4e4, 4e4);
  std::string wrong_day = row(instant(1, 1, 10, 0), 17000, 60, 4e4, 4e4);
  wrong_day.replace(24, 3, "002");  // the day of the year does not fit the date
  const auto out = good(text + wrong_day);
  EXPECT_EQ(out.samples.size(), 200u);
  EXPECT_EQ(out.bad_lines.size(), 1u);
  EXPECT_NE(refusal(head() + row(instant(1, 1), 17000, 60, 4e4, 4e4) + wrong_day).find("cannot be read"),
            std::string::npos);
}

TEST(Observatory, NothingBreaksIt) {
  // Seeded damage to a good file: read or refused, never worse.
  std::string text = head();
  for (int i = 0; i < 30; ++i) text += row(instant(1, 1, 0, i), 17000, 60, 4e4, 4e4);
  std::mt19937 random(5);
  std::size_t refused = 0;
  for (int turn = 0; turn < 2000; ++turn) {
    std::string bad = text;
    for (int k = 0; k < 3; ++k) {
      const std::size_t at = random() % bad.size();
      if (random() % 4 == 0)
        bad.erase(at, random() % 40);
      else
        bad[at] = static_cast<char>(random() % 256);
    }
    refused += !read_observatory(bad);
  }
  EXPECT_GT(refused, 100u);
}

}  // namespace
}  // namespace agonic::survey
