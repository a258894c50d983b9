#include <cmath>

#include "model/field/declination.hpp"
#include "tests/model/desk/desk_fixture.hpp"
#include "tests/model/field/field_fixture.hpp"

namespace agonic::desk {
namespace {

class SwingDeskTest : public DeskTest {
 protected:
  const std::string day = demo("observatory-day.iaga");
  nlohmann::json text_file(const std::string& file, const Options& options) const {
    return nlohmann::json::parse(answer(Job::swing, Format::text, Format::json, file, options).body);
  }
};

TEST_F(SwingDeskTest, TheDemoDayIsReduced) {
  const auto out =
      text_file(day, {{"time", "2026-06-15T07:40Z,2026-06-15T15:05+02:00,2026-06-15T20:30Z"}, {"place", "46.5 7.25"}});
  EXPECT_EQ(out["observatory"]["code"], "ZZZ");
  EXPECT_EQ(out["observatory"]["missing"], 30);
  EXPECT_NEAR(out["readings"][0]["departure"].get<double>(), 0.073, 0.005);
  EXPECT_NEAR(out["readings"][1]["departure"].get<double>(), -0.124, 0.005);
  EXPECT_EQ(out["readings"][0]["activity"], "quiet");
  EXPECT_EQ(out["readings"][2]["activity"], "storm");
  EXPECT_EQ(out["readings"][2]["swing_checks"], nlohmann::json({"magnetic-storm"}));
  EXPECT_TRUE(noted(out, "magnetic-storm"));
  EXPECT_FALSE(noted(out, "file-against-model"));
  EXPECT_NEAR(out["readings"][0]["distance_km"].get<double>(), 16, 0.5);
}

// What goes on to a correction: the model's declination where and when the reading was taken, plus the departure.
TEST_F(SwingDeskTest, ReadingsGetTheDeclinationOfTheirMoment) {
  const auto out = text_file(day, {{"time", "2026-06-15T07:40Z"}, {"place", "46.5 7.25"}});
  const auto there = field::field_answer(field::built_in_catalogue(), "auto",
                                         {46.5, 7.25, 0, parse_date("2026-06-15", {})->decimal_year});
  ASSERT_TRUE(there);
  const auto& row = out["readings"][0];
  EXPECT_NEAR(row["site_declination"].get<double>(), there->elements.declination_deg + row["departure"].get<double>(),
              1e-9);
  EXPECT_NEAR(row["site_declination_sigma"].get<double>(),
              std::hypot(there->sigma_deg, row["departure_sigma"].get<double>()), 1e-9);
  EXPECT_TRUE(text_file(day, {{"time", "2026-06-15T07:40Z"}})["readings"][0]["site_declination"].is_null());
}

TEST_F(SwingDeskTest, ReadingsMayComeWithTheFileInJson) {
  const nlohmann::json body{
      {"file", day},
      {"readings", {{{"time", "2026-06-15T07:40Z"}, {"id", "a"}}, {{"time", "2026-06-15"}, {"id", "b"}}}}};
  const auto result = answer(Job::swing, Format::json, Format::json, body.dump());
  const auto out = nlohmann::json::parse(result.body);
  EXPECT_EQ(out["readings"][0]["swing_status"], "reduced");
  EXPECT_EQ(out["readings"][0]["id"], "a");
  EXPECT_EQ(out["readings"][1]["swing_status"], "refused");
  EXPECT_NE(out["readings"][1]["swing_remark"].get<std::string>().find("hour is missing"), std::string::npos);
  EXPECT_TRUE(noted(out, "distance-unknown"));
  EXPECT_EQ(result.refused, 1u);
}

TEST_F(SwingDeskTest, MinutesTakenForDegreesAndWestForEastAreAsked) {
  // A file of a place where the model says about 3.3 E, with D / 60, and with the other sign.
  const auto with = [&](double factor) {
    std::istringstream in(day);
    std::string out;
    for (std::string line; std::getline(in, line);) {
      if (line.front() == '2') {
        char d[16];
        const double value = std::stod(line.substr(40, 10));
        std::snprintf(d, sizeof d, "%10.2f", value > 88000 ? value : value * factor);
        line.replace(40, 10, d);
      }
      out += line + '\n';
    }
    return out;
  };
  const Options time{{"time", "2026-06-15T07:40Z"}};
  const auto said = [&](double factor) {
    const auto document = text_file(with(factor), time);
    for (const auto& note : document["notes"])
      if (note["code"] == "file-against-model") return note["text"].get<std::string>();
    return std::string("nothing");
  };
  EXPECT_EQ(said(1), "nothing");
  EXPECT_NE(said(-1).find("west-positive"), std::string::npos);
  EXPECT_NE(said(1 / 60.0).find("looks like degrees"), std::string::npos);
}

TEST_F(SwingDeskTest, WithoutAFileTheUsualDayIsTold) {
  const auto out = text_file("", {{"lat", "55.3"}, {"lon", "-3.2"}});
  EXPECT_TRUE(out["observatory"].is_null());
  EXPECT_EQ(out["readings"][0]["usual_range"], 0.3);
  EXPECT_EQ(out["readings"][0]["swing_status"], "expected");
  EXPECT_TRUE(noted(out, "swing-expected"));
  EXPECT_EQ(text_file("", {})["readings"][0]["swing_status"], "refused");
}

TEST_F(SwingDeskTest, WhatCannotBeDoneIsRefused) {
  const auto code = [&](const std::string& file, const Options& options) {
    const auto out = ask(Job::swing, Format::text, Format::json, file, options);
    return out ? Code::internal : out.problem().code;
  };
  EXPECT_EQ(code(day, {}), Code::missing_value);
  EXPECT_EQ(code("no file", {{"time", "2026-06-15T07:40Z"}}), Code::file_malformed);
  EXPECT_EQ(code(day, {{"tim", "2026-06-15T07:40Z"}, {"time", "2026-06-15T07:40Z"}}), Code::unknown_name);
  const auto far = text_file(day, {{"time", "2026-06-15T07:40Z"}, {"place", "66.5 7.25"}});
  EXPECT_NE(far["readings"][0]["swing_remark"].get<std::string>().find("2213 km"), std::string::npos);
}

}  // namespace
}  // namespace agonic::desk
