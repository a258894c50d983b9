// The sun's answer as JSON and as text.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "model/lookup/sun.hpp"

namespace agonic::lookup {
namespace {

using Texts = std::map<std::string, std::string, std::less<>>;
const std::chrono::sys_days kToday = std::chrono::year(2026) / 11 / 25;

Result<SunQuery> parse(Texts texts) { return parse_sun_query({std::move(texts), Writer::program}, kToday); }

TEST(SunLookup, AnswersInJsonAndWords) {
  const auto query = parse({{"place", "42.283 -71.35"}, {"time", "2028-07-04T08:15-04:00"}});
  ASSERT_TRUE(query) << query.problem().text();
  const SunAnswer answer = sun(*query);
  const auto json = nlohmann::json::parse(to_json(answer));
  EXPECT_EQ(json["time"], "2028-07-04T12:15:00Z");
  EXPECT_NEAR(json["azimuth_deg"].get<double>(), answer.sun.azimuth.degrees(), 1e-12);
  EXPECT_TRUE(json["above_horizon"].get<bool>());
  EXPECT_NE(json["warnings"][0].get<std::string>().find("Never look at the sun"), std::string::npos);
  EXPECT_NE(to_text(answer).find("true azimuth 85.89"), std::string::npos) << to_text(answer);
}

TEST(SunLookup, AdvisesALowSunAndSaysWhenItIsDown) {
  const auto words = [](const char* time) {
    std::string all;
    for (const auto& warning : sun(*parse({{"lat", "42"}, {"lon", "-71"}, {"time", time}})).warnings) all += warning;
    return all;
  };
  EXPECT_NE(words("2028-07-04T16:00Z").find("below 30 degrees"), std::string::npos);
  EXPECT_EQ(words("2028-07-04T10:30Z").find("below"), std::string::npos);
  EXPECT_NE(words("2028-07-04T05:00Z").find("below the horizon"), std::string::npos);
  const auto night =
      nlohmann::json::parse(to_json(sun(*parse({{"lat", "42"}, {"lon", "-71"}, {"time", "2028-07-04T05:00Z"}}))));
  EXPECT_TRUE(night["elevation_refracted_deg"].is_null());
}

TEST(SunLookup, TabulatesTheDayOfTheClockThatWasNamed) {
  const auto query = parse(
      {{"place", "42.283 -71.35"}, {"time", "2028-07-04T23:30-04:00"}, {"table", "day"}, {"step_minutes", "180"}});
  ASSERT_TRUE(query);
  const auto json = nlohmann::json::parse(to_json(sun(*query)));
  ASSERT_EQ(json["rows"].size(), 9u);
  EXPECT_EQ(json["rows"][0]["time"], "2028-07-04T04:00:00Z");
  EXPECT_EQ(json["rows"][8]["time"], "2028-07-05T04:00:00Z");
  EXPECT_EQ(json["rise"].get<std::string>().substr(0, 13), "2028-07-04T09");
  EXPECT_EQ(to_text(sun(*query)).substr(0, 40), "Sun on 2028-07-04, times in UTC-04:00\nri");
  EXPECT_TRUE(parse({{"place", "42 -71"}, {"time", "today"}, {"table", "day"}})->is_today);
}

TEST(SunLookup, RefusesWhatItCannotRead) {
  const Texts good{{"place", "42 -71"}, {"time", "2028-07-04T05:00Z"}};
  ASSERT_TRUE(parse(good));
  const auto refused = [&](const char* name, const char* value, const char* field) {
    Texts texts = good;
    texts[name] = value;
    const auto query = parse(texts);
    ASSERT_FALSE(query) << name << '=' << value;
    EXPECT_EQ(query.problem().field, field);
    EXPECT_FALSE(query.problem().remedy.empty());
  };
  refused("place", "91 0", "place");
  refused("time", "2028-07-04T05:00", "time");
  refused("table", "month", "table");
  refused("step_minutes", "10", "step_minutes");
  refused("pressure_hpa", "2000", "pressure_hpa");
  refused("temperature_c", "x", "temperature_c");
  refused("height_m", "x", "height_m");
  refused("letters", "xx", "letters");
  for (const char* step : {"0", "1.5", "721", "nan"})
    EXPECT_FALSE(parse({{"place", "42 -71"}, {"time", "2028-07-04"}, {"table", "day"}, {"step_minutes", step}}));
}

}  // namespace
}  // namespace agonic::lookup
