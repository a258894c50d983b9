// The whole answer to "what do I set?": parameters, real models, and the text a person gets.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "model/lookup/setting.hpp"
#include "tests/model/field/field_fixture.hpp"

namespace agonic::lookup {
namespace {

using namespace std::chrono;
using Values = std::map<std::string, std::string, std::less<>>;

constexpr sys_days kToday = 2026y / May / 20;

Parameters with(Values more) {
  Values values{{"lat", "42.283"}, {"lon", "-71.35"}, {"date", "2028-07-04"}, {"height_m", "1000"}};
  for (auto& [name, value] : more) values[name] = value;
  return {values, Writer::program};
}

Problem refused(Values more) {
  const auto query = parse_setting_query(with(std::move(more)), kToday);
  EXPECT_FALSE(query);
  return query ? Problem{} : query.problem();
}

SettingQuery query_of(Values more) {
  auto query = parse_setting_query(with(std::move(more)), kToday);
  EXPECT_TRUE(query) << (query ? "" : query.problem().text());
  return query ? *query : SettingQuery{};
}

Result<SettingAnswer> ask(Values more) {
  geodesy::Grids grids;
  return setting(field::built_in_catalogue(), grids, query_of(std::move(more)));
}

SettingAnswer answer(Values more) {
  auto result = ask(std::move(more));
  EXPECT_TRUE(result) << (result ? "" : result.problem().text());
  return *result;
}

bool has(const std::string& text, const std::string& piece) { return text.find(piece) != std::string::npos; }

TEST(SettingQuery, ReadsTheCircle) {
  const auto plain = query_of({});
  EXPECT_EQ(plain.circle.graduation_deg, 1);
  EXPECT_TRUE(plain.circle.turnable);
  EXPECT_EQ(plain.circle.east_turn, instrument::Sense::clockwise);
  const auto all = query_of({{"graduation", "0.25"},
                             {"circle", "Quadrant"},
                             {"east_turn", "counterclockwise"},
                             {"until", "2029-01-01"},
                             {"force_unusable", "yes"}});
  EXPECT_EQ(all.circle.graduation_deg, 0.25);
  EXPECT_EQ(all.circle.figures, instrument::Figures::quadrant);
  EXPECT_EQ(all.circle.east_turn, instrument::Sense::counterclockwise);
  EXPECT_EQ(all.until->iso, "2029-01-01");
  EXPECT_TRUE(all.force_unusable);
  EXPECT_FALSE(query_of({{"circle", "fixed"}}).circle.turnable);
}

TEST(SettingQuery, NamesTheWrongParameter) {
  for (const char* value : {"0", "-1", "11", "one", "1e999", "nan"})
    EXPECT_EQ(refused({{"graduation", value}}).field, "graduation") << value;
  EXPECT_EQ(refused({{"circle", "round"}}).field, "circle");
  EXPECT_EQ(refused({{"east_turn", "left"}}).field, "east_turn");
  EXPECT_EQ(refused({{"until", "2028-07-03"}}).field, "until");
  EXPECT_EQ(refused({{"until", "soon"}}).field, "until");
  EXPECT_EQ(refused({{"force_unusable", "perhaps"}}).field, "force_unusable");
  EXPECT_EQ(refused({{"date", ""}}).code, Code::date_missing);
  EXPECT_EQ(refused({{"lon", ""}}).field, "lon");
  EXPECT_EQ(refused({{"place", "42 -71"}}).code, Code::contradiction);
  EXPECT_EQ(refused({{"height_m", "high"}}).field, "height_m");
}

TEST(Parameters, RefuseAnUnknownNameWithTheNearestOne) {
  const auto problem = with({{"gradation", "1"}})
                           .unknown({"lat", "lon", "date", "height_m", "graduation", "circle", "until", "east_turn"});
  ASSERT_TRUE(problem);
  EXPECT_EQ(problem->field, "gradation");
  EXPECT_EQ(problem->remedy, "Did you mean graduation?");
  EXPECT_FALSE(with({}).unknown({"lat", "lon", "date", "height_m"}));
  EXPECT_TRUE(
      has(with({{"colour_of_the_needle", "red"}}).unknown({"lat", "lon", "date", "height_m"})->remedy, "Known"));
}

// D -13.6891 there and then: WMM2025, documentation of a general numerical package.
TEST(SettingAnswer, SetsTheCircleForThePublishedDeclination) {
  const auto a = answer({});
  EXPECT_EQ(a.setting.set_to_deg, -14);
  EXPECT_EQ(a.setting.turn, instrument::Sense::counterclockwise);
  EXPECT_NEAR(a.setting.leftover_deg, 0.3109, 0.0001);
  const std::string text = to_text(a);
  EXPECT_TRUE(has(text, "Set the circle to 14 W (-14): turn it counterclockwise.")) << text;
  EXPECT_TRUE(has(text, "it reads 346. If it reads 014, it is set backwards.")) << text;
  EXPECT_TRUE(has(text, "add 0.31 to every reading")) << text;
  const auto json = nlohmann::json::parse(to_json(a));
  EXPECT_EQ(json["set_to_deg"], -14);
  EXPECT_EQ(json["set_to_text"], "14 W (-14)");
  EXPECT_EQ(json["turn"], "counterclockwise");
  EXPECT_EQ(json["reads_along_needle_deg"], 346);
  EXPECT_EQ(json["reads_if_backwards_deg"], 14);
  EXPECT_NEAR(json["leftover_deg"].get<double>(), 0.3109, 0.0001);
  EXPECT_TRUE(json["holds_until"].is_string());
  EXPECT_NEAR(json["declination_deg"].get<double>(), -13.6891, 0.00005);
}

TEST(SettingAnswer, TellsAFixedCircleTheSum) {
  const std::string text = to_text(answer({{"circle", "fixed"}}));
  EXPECT_TRUE(has(text, "subtract 13.69 from every reading")) << text;
  EXPECT_FALSE(has(text, "Set the circle")) << text;
  const std::string quadrant = to_text(answer({{"circle", "quadrant"}}));
  EXPECT_TRUE(has(quadrant, "it reads N14W. If it reads N14E")) << quadrant;
}

// Day by day with the same models, each day's D asked for by itself.
TEST(SettingAnswer, HoldsUntilTheDayADailyScanFinds) {
  struct Case {
    const char *lat, *lon, *date, *model, *graduation;
  };
  int ends = 0;
  for (const Case& c :
       {Case{"42.283", "-71.35", "2026-01-01", "auto", "0.25"}, Case{"70", "-100", "2025-06-01", "auto", "1"},
        Case{"78", "-110", "2026-03-03", "wmm2025", "2"}, Case{"51.5", "0", "1905-05-05", "auto", "1"},
        Case{"48.8", "2.3", "1700-01-02", "auto", "0.5"}, Case{"60", "10", "1889-01-02", "auto", "1"},
        Case{"-35", "20", "2024-06-01", "auto", "0.1"}, Case{"0", "120", "2020-01-01", "wmm2020", "0.5"}}) {
    const auto a = answer({{"lat", c.lat},
                           {"lon", c.lon},
                           {"height_m", "0"},
                           {"date", c.date},
                           {"model", c.model},
                           {"graduation", c.graduation}});
    ASSERT_TRUE(a.setting.holds_until) << c.date;
    const auto& catalogue = field::built_in_catalogue();
    const double half = a.circle.graduation_deg / 2;
    sys_days day = a.declination.query.date.day;
    bool to_the_end = true;
    for (;; day += days(1)) {
      const auto there = field::field_answer(
          catalogue, c.model, {std::stod(c.lat), std::stod(c.lon), 0, date_of_day(day + days(1)).decimal_year});
      if (!there) break;
      const double off = std::abs(wrap_180(there->elements.declination_deg - a.setting.set_to_deg));
      ASSERT_GT(std::abs(off - half), 1e-8) << "too near to call";
      if (off > half) {
        to_the_end = false;
        break;
      }
    }
    EXPECT_EQ(*a.setting.holds_until, iso_day(day)) << c.lat << " " << c.lon << " " << c.date;
    EXPECT_EQ(a.setting.holds_to_the_end, to_the_end);
    ends += to_the_end;
  }
  EXPECT_LT(ends, 4);  // most of these settings go stale, or the scan would say little
}

TEST(SettingAnswer, SetsForTheMiddleOfDsRangeAndWarnsWhereNoSettingServes) {
  const auto a =
      answer({{"lat", "80"}, {"lon", "-110"}, {"date", "2025-06-01"}, {"until", "2029-06-01"}, {"graduation", "0.5"}});
  double low = 1e9, high = -1e9;
  for (sys_days day = 2025y / June / 1; day <= sys_days(2029y / June / 1); day += days(7)) {
    const double d =
        field::field_answer(field::built_in_catalogue(), "auto", {80, -110, 1000, date_of_day(day).decimal_year})
            ->elements.declination_deg;
    low = std::min(low, d), high = std::max(high, d);
  }
  EXPECT_NEAR(a.setting.set_to_deg, (low + high) / 2, 0.26);
  EXPECT_GT(high - low, 0.5);  // more than a graduation: no setting can serve
  EXPECT_TRUE(has(a.declination.warnings.back(), "No one setting")) << a.declination.warnings.back();
  const auto beyond = ask({{"until", "2031-01-01"}});
  ASSERT_FALSE(beyond);
  EXPECT_EQ(beyond.problem().field, "until");
  EXPECT_EQ(beyond.problem().code, Code::date_outside_models);
}

// 86 N 140 E lies at the magnetic pole of 2025: H is far below 2000 nT.
TEST(SettingAnswer, RefusesAnUnusableNeedleUnlessForced) {
  const Values pole{{"lat", "85.8"}, {"lon", "139.3"}, {"height_m", "0"}, {"date", "2025-06-01"}};
  const auto no = ask(pole);
  ASSERT_FALSE(no);
  EXPECT_EQ(no.problem().code, Code::needle_unusable);
  EXPECT_TRUE(has(no.problem().remedy, "force_unusable"));
  Values forced = pole;
  forced["force_unusable"] = "yes";
  const auto yes = answer(forced);
  EXPECT_EQ(yes.declination.field.needle, field::Needle::unusable);
  EXPECT_FALSE(yes.declination.warnings.empty());
}

TEST(SettingAnswer, NamesAModelOrDateThatWillNotDo) {
  EXPECT_EQ(ask({{"model", "wmm1066"}}).problem().code, Code::model_unknown);
  EXPECT_EQ(ask({{"date", "2031-01-01"}}).problem().field, "date");
  EXPECT_EQ(ask({{"date", "1580-01-02"}}).problem().code, Code::date_outside_models);
  EXPECT_EQ(ask({{"crs", "nowhere"}}).problem().code, Code::grid_unknown);
}

}  // namespace
}  // namespace agonic::lookup
