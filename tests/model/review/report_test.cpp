// The report in its three forms, the ways a file may come, and the bounds.
#include <nlohmann/json.hpp>

#include "tests/model/review/invented_survey.hpp"
#include "tests/model/review/review_run.hpp"

namespace agonic::review {
namespace {

const std::string kFile =
    "id,place,date,azimuth,observer,north_reference,set_declination\n"
    "N1,58.42 -129.60,2016-08-09,10,M.K.,circle,0\n"
    "N2,58.42 -129.60,2016-08-09,20,M.K.,circle,22E\n"
    "N3,58.42 -129.60,2016-08-09,30,<b>&T.B.,circle,\n";

TEST(ReviewReport, AsJsonHasEveryQuestionWithItsRowsLinesAndAnswers) {
  const auto json = nlohmann::json::parse(to_json(review_of(kFile)));
  EXPECT_EQ(json["summary"]["rows"], 3);
  EXPECT_EQ(json["summary"]["refused"], 1);
  ASSERT_EQ(json["findings"].size(), 2U);
  for (const auto& finding : json["findings"]) {
    EXPECT_FALSE(finding["question"].get<std::string>().empty());
    EXPECT_GE(finding["answers"].size(), 2U);
    EXPECT_EQ(finding["rows"].size(), finding["lines"].size());
    EXPECT_EQ(finding["lines"][0].get<int>(), finding["rows"][0].get<int>() + 1);
  }
  EXPECT_EQ(json["row_checks"]["setting-stale"], 1);
}

TEST(ReviewReport, AsTextTellsTheQuestionsAndThatNothingWasChanged) {
  const std::string text = to_text(review_of(kFile));
  EXPECT_NE(text.find("3 rows: 2 can be corrected, 1 cannot."), std::string::npos) << text;
  EXPECT_NE(text.find("settings-missing, row 3 (line 4)"), std::string::npos) << text;
  EXPECT_NE(text.find("Nothing was changed."), std::string::npos);
  std::size_t longest = 0, start = 0;
  for (std::size_t end = text.find('\n'); end != std::string::npos; start = end + 1, end = text.find('\n', start))
    longest = std::max(longest, end - start);
  EXPECT_LE(longest, 120U);
}

TEST(ReviewReport, AsAPageIsSelfContainedWithoutScriptsAndEscapesWhatIsNotOurs) {
  const std::string html = to_html(review_of(kFile));
  EXPECT_EQ(html.find("<script"), std::string::npos);
  EXPECT_EQ(html.find("http://") == std::string::npos, html.find("http://www.w3.org/2000/svg") == std::string::npos);
  EXPECT_EQ(html.find("<b>&T"), std::string::npos);
  EXPECT_NE(html.find("&lt;b&gt;&amp;T.B."), std::string::npos);
  EXPECT_NE(html.find("<svg"), std::string::npos);
}

TEST(ReviewReport, IsTheSameForTheSameFile) {
  const std::string csv = invented_survey(Fault::sign_applied, 3).csv;
  const Given given{{"plane_convention", "right_hand"}};
  EXPECT_EQ(to_html(review_of(csv, given)), to_html(review_of(csv, given)));
  EXPECT_EQ(to_json(review_of(csv, given)), to_json(review_of(csv, given)));
}

TEST(ReviewFormats, JsonNdjsonAndGeoJsonAreReadAsCsvIs) {
  const std::string row =
      R"({"place":"58.42 -129.60","date":"2016-08-09","azimuth":10,"Observer":"M.K.","set_declination":22,"north_reference":"circle"})";
  for (const auto& [format, text] :
       {std::pair{exchange::Format::json, "{\"readings\":[" + row + "]}"},
        std::pair{exchange::Format::ndjson, row + "\n"},
        std::pair{exchange::Format::geojson,
                  R"({"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":)" + row +
                      "}]}"}}) {
    const Report report = review_of(text, {}, format);
    ASSERT_EQ(report.notebook.entries.size(), 1U);
    const Entry& entry = report.notebook.entries.front();
    EXPECT_EQ(report.notebook.names.text(entry.group[static_cast<std::size_t>(Factor::observer)]), "M.K.");
    EXPECT_NEAR(entry.declination, 19.9, 0.1);
    EXPECT_EQ(entry.set, 22);
    EXPECT_NE(find(report, Check::settings_stale), nullptr);
  }
}

TEST(ReviewFormats, AColumnOfTheFilesOwnGroups) {
  const std::string csv =
      "place,date,azimuth,camp\n58.42 -129.60,2016-08-09,10,river\n58.42 -129.60,2016-08-09,20,ridge\n";
  const Given given{{"north_reference", "circle"}, {"set_declination", "0"}, {"group_by", "Camp"}};
  const Report report = review_of(csv, given);
  EXPECT_EQ(std::count_if(report.groups.begin(), report.groups.end(),
                          [](const GroupReport& g) { return g.factor == Factor::custom; }),
            2);
  auto none = given;
  none["group_by"] = "tent";
  const auto refused = try_review(csv, none);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.problem().code, Code::columns_missing);
}

TEST(ReviewBounds, TooManyRowsAndWhatACorrectionRefuses) {
  std::string csv = "place,date,azimuth\n";
  for (std::size_t i = 0; i <= kMostRows; ++i) csv += "58.42 -129.60,2016-08-09,1\n";
  const auto refused = try_review(csv, {{"north_reference", "magnetic"}});
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.problem().code, Code::too_large);
  const auto missing = try_review("place,date\n58.42 -129.60,2016-08-09\n");
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.problem().code, Code::columns_missing);
}

TEST(ReviewBounds, NothingReadIsStillAReport) {
  const Report report = review_of("place,date,azimuth\n");
  EXPECT_NE(to_text(report).find("0 rows"), std::string::npos);
  EXPECT_FALSE(to_html(report).empty());
  EXPECT_TRUE(nlohmann::json::accept(to_json(report)));
}

}  // namespace
}  // namespace agonic::review
