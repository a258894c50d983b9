// Files that were corrected before: refused, or taken again with the earlier correction undone and kept.
#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

const std::string kCsv = "lat,lon,date,azimuth,north_reference,note\n46.5,7.25,2020-07-01,100,magnetic,\"a, b\"\n";
const std::string kRow = R"({"lat":46.5,"lon":7.25,"date":"2020-07-01","azimuth":100,"north_reference":"magnetic"})";
const std::string kJson = "{\"readings\":[" + kRow + "]}";
const std::string kGeo =
    R"({"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":)" + kRow + "}]}";

struct Sample {
  Format format;
  std::string text;
};
std::vector<Sample> samples() {
  return {{Format::csv, kCsv}, {Format::json, kJson}, {Format::ndjson, kRow + "\n"}, {Format::geojson, kGeo}};
}

TEST(Again, ASecondCorrectionIsRefused) {
  for (const auto& [format, text] : samples()) {
    const Batch once = run(text, format, format);
    ASSERT_EQ(once.summary.corrected, 1U);
    EXPECT_EQ(run(once.out, format, format).code(), "already-corrected") << media_type(format);
  }
}

TEST(Again, ARowWhoseCellsDidNotFitStaysRefused) {
  const Batch once = csv("lat,lon,date,azimuth,north_reference,note\n46.5,7.25,2020-07-01,100,magnetic,a,b\n");
  ASSERT_EQ(once.summary.refused, 1U);
  const Batch twice = csv(once.out, {{"again", "yes"}});
  EXPECT_EQ(twice.summary.refused, 1U) << twice.out;
  EXPECT_EQ(csv(twice.out, {{"again", "yes"}}).summary.refused, 1U);
}

TEST(Again, UndoneCheckedAndKept) {
  for (const auto& [format, text] : samples()) {
    const Batch once = run(text, format, format);
    const Batch twice = run(once.out, format, format, {{"again", "yes"}});
    EXPECT_EQ(twice.summary.corrected, 1U) << twice.out;
    EXPECT_NE(twice.out.find("earlier_azimuth_true"), std::string::npos);
    EXPECT_TRUE(format == Format::csv || nlohmann::json::accept(twice.out)) << twice.out;
    const Batch thrice = run(twice.out, format, format, {{"again", "yes"}});
    EXPECT_EQ(thrice.summary.corrected, 1U) << thrice.out;
    EXPECT_NE(thrice.out.find("earlier_earlier_azimuth_true"), std::string::npos) << "no name twice";
    EXPECT_TRUE(format == Format::csv || nlohmann::json::accept(thrice.out)) << thrice.out;
    if (format == Format::json || format == Format::geojson) {
      const auto document = nlohmann::json::parse(thrice.out);
      EXPECT_TRUE(document.contains("earlier_summary"));
      EXPECT_TRUE(document.contains("earlier_earlier_summary"));
    }
  }
}

TEST(Again, CsvHeaderKeepsItsCellsAndGetsTheNamesOnce) {
  const Batch twice = run(csv(kCsv).out, Format::csv, Format::csv, {{"again", "yes"}});
  const auto names = split(split(twice.out, '\n')[0], ',');
  EXPECT_EQ(names.size(), 6U + 22 + 22);
  EXPECT_EQ(names[5], "note");
  EXPECT_EQ(names[6], "earlier_azimuth_true");
  EXPECT_EQ(names[28], "azimuth_true");
  const auto cells = split(split(twice.out, '\n')[1], ',');
  EXPECT_EQ(cells[7], cells[29]) << "the same correction (a comma stands in the note)";
}

TEST(Again, AChangedAzimuthRefusesTheRow) {
  std::string changed = csv(kCsv).out;
  changed.replace(changed.find(",100,"), 5, ",101,");
  EXPECT_EQ(csv(changed, {{"again", "yes"}}).summary.checks.count("contradiction"), 1U);
  std::string line = ndjson(kRow + "\n").out;
  line.replace(line.find(":100,"), 5, ":101,");
  EXPECT_EQ(ndjson(line, {{"again", "yes"}}).summary.checks.count("contradiction"), 1U);
}

TEST(Again, ASingleTakenNameIsRefusedWithTheAdviceToRename) {
  const Batch table = csv("declination,lat,lon,date,azimuth\n1,2,3,2020,4\n");
  EXPECT_EQ(table.code(), "column-name-taken");
  EXPECT_NE(table.problem->remedy.find("my_declination"), std::string::npos);
  EXPECT_EQ(csv("\" remark \",lat,lon,date,azimuth\n").code(), "column-name-taken");
  EXPECT_EQ(csv("model,lat,lon,date,azimuth\n", {{"again", "yes"}}).code(), "column-name-taken");
  const std::string row = R"({"model":"x",)" + kRow.substr(1);
  EXPECT_EQ(ndjson(row + "\n").code(), "column-name-taken");
  EXPECT_EQ(json("{\"readings\":[" + row + "]}").code(), "column-name-taken");
  EXPECT_EQ(json("{\"summary\":1," + kJson.substr(1)).code(), "column-name-taken");
  // In a later row it costs that row alone.
  EXPECT_EQ(ndjson(kRow + "\n" + row + "\n" + kRow + "\n").summary.refused, 1U);
}

TEST(Again, NamesLikeEarlierAreTheUsersOwnOtherwise) {
  const Batch own = ndjson(R"({"earlier_azimuth_true":5,"earlier_correction":1,)" + kRow.substr(1) + "\n");
  EXPECT_EQ(own.summary.corrected, 1U) << own.out;
}

}  // namespace
}  // namespace agonic::exchange
