// JSON and NDJSON in and out. Soundness: RFC 8259, as nlohmann::json reads it.
#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

const std::string kRow = R"({"lat":46.5,"lon":7.25,"date":"2020-07-01","azimuth":100,"north_reference":"magnetic"})";

std::string document(const std::string& rows, const std::string& before = "") {
  return "{" + before + "\"readings\":[" + rows + "]}";
}
nlohmann::ordered_json first(const Batch& result) {
  return nlohmann::ordered_json::parse(result.out).at("readings").at(0);
}

TEST(Json, AddedMembersInOrderBehindTheOwn) {
  const auto row = first(json(document(kRow)));
  std::string names;
  for (const auto& [key, value] : row.items()) names += (names.empty() ? "" : ",") + key;
  EXPECT_EQ(names, "lat,lon,date,azimuth,north_reference," + kAddedHeader);
  EXPECT_TRUE(row["checks"].is_array());
  EXPECT_TRUE(row["dip_corrected"].is_null());
  EXPECT_EQ(row["status"], "corrected");
}

TEST(Json, TargetDateAddsOneMember) {
  EXPECT_TRUE(first(json(document(kRow, R"("defaults":{"target_date":"2026"},)"))).contains("azimuth_at_target"));
  EXPECT_FALSE(first(json(document(kRow))).contains("azimuth_at_target"));
  const Batch own = ndjson(R"({"target_date":"2026",)" + kRow.substr(1) + "\n" + kRow + "\n");
  EXPECT_NE(split(own.out, '\n')[0].find("azimuth_at_target"), std::string::npos);
  EXPECT_EQ(split(own.out, '\n')[1].find("azimuth_at_target"), std::string::npos);
}

TEST(Json, TextOfOwnMembersStaysAsItCame) {
  const std::string row =
      R"({ "z":1.10, "a" : 1e2,"lat":46.50,"lon":7.25,"big":123456789012345678901234567890,"e":"\u00e9\/", )"
      R"("n":[1, {"x":null}],"date":"2020-07-01","azimuth":100.0,"north_reference":"magnetic" })";
  const Batch result = json(document(row));
  EXPECT_NE(result.out.find(row.substr(0, row.size() - 2) + ",\"azimuth_true\":"), std::string::npos) << result.out;
  EXPECT_EQ(result.summary.corrected, 1U);
}

TEST(Json, NumbersAreUnrounded) {
  const double azimuth = first(json(document(kRow)))["azimuth_true"];
  EXPECT_NE(azimuth, std::round(azimuth * 1000) / 1000);
}

TEST(Json, OtherMembersOfTheDocumentStay) {
  const Batch result = json(R"({"survey":"x","readings":[)" + kRow + R"(],"n":[1,2]})");
  const auto out = nlohmann::json::parse(result.out);
  EXPECT_EQ(out["survey"], "x");
  EXPECT_EQ(out["n"].size(), 2U);
  EXPECT_EQ(out["summary"]["corrected"], 1);
}

TEST(Json, NoRows) {
  EXPECT_EQ(nlohmann::json::parse(json(document("")).out)["readings"].size(), 0U);
  EXPECT_EQ(json("{}").code(), "columns-missing");
  EXPECT_EQ(json("").code(), "file-malformed");
  EXPECT_EQ(json("[]").code(), "file-malformed");
}

TEST(Json, ByteOrderMark) {
  EXPECT_EQ(json("\xEF\xBB\xBF" + document(kRow)).summary.corrected, 1U);
  EXPECT_EQ(json("\xEF\xBB" + document(kRow)).code(), "file-malformed");
  EXPECT_EQ(json(" \xEF\xBB\xBF" + document(kRow)).code(), "file-malformed");
  EXPECT_EQ(json(std::string("\xFF\xFE{\0", 4)).code(), "file-malformed");
  EXPECT_EQ(ndjson(std::string("\xFF\xFE{\0\n\0", 6)).code(), "file-malformed");
}

TEST(Json, Defaults) {
  const std::string row = R"({"lat":46.5,"lon":7.25,"date":"2020-07-01","azimuth":100})";
  const auto with = [&](const std::string& defaults) { return json(document(row, "\"defaults\":" + defaults + ",")); };
  EXPECT_EQ(with(R"({"north_reference":"circle","set_declination":0})").summary.corrected, 1U);
  EXPECT_EQ(with(R"({"north_reference":"magnetic","azimuth_unit":null,"model":null})").summary.corrected, 1U);
  EXPECT_EQ(with(R"({"north_reference":"circle","set_declination":null})").summary.refused, 1U);
  EXPECT_EQ(with(R"({"nonsense":1})").code(), "unknown-name");
  EXPECT_EQ(with(R"({"nonsense":null})").code(), "unknown-name");
  EXPECT_EQ(with(R"({"model":"nonsense"})").code(), "model-unknown");
  EXPECT_EQ(with(R"({"date":2020})").code(), "file-malformed") << "a JSON number is no date";
  EXPECT_EQ(with(R"({"lat":{}})").code(), "file-malformed");
  EXPECT_EQ(with(R"({"lat":1,"lat":2})").code(), "file-malformed");
  EXPECT_EQ(with(R"([])").code(), "file-malformed");
  EXPECT_EQ(with(R"({"lat":1},"defaults":{"lon":1})").code(), "file-malformed");
  const Batch late = json(R"({"readings":[)" + row + R"(],"defaults":{"north_reference":"magnetic"}})");
  EXPECT_EQ(late.code(), "file-malformed");
  EXPECT_NE(late.problem->message.find("after the rows"), std::string::npos);
}

TEST(Json, CellStandsBeforeDefaultAndQueryBeforeDocument) {
  const std::string rows = R"({"lat":46.5,"lon":7.25,"date":"2020-07-01","azimuth":100,"set_declination":"3E"},)"
                           R"({"lat":46.5,"lon":7.25,"date":"2020-07-01","azimuth":100,"set_declination":""})";
  const auto out =
      nlohmann::json::parse(json(document(rows, R"("defaults":{"north_reference":"circle","set_declination":"2E"},)"),
                                 {{"set_declination", "1E"}})
                                .out);
  EXPECT_EQ(out["readings"][0]["set_declination_used"], 3);
  EXPECT_EQ(out["readings"][1]["set_declination_used"], 1);
}

TEST(Json, NullIsNotBlank) {
  const std::string head =
      R"({"lat":46.5,"lon":7.25,"date":"2020-07-01","azimuth":100,"north_reference":"circle","set_declination":)";
  const Defaults defaults{{"set_declination", "0"}};
  EXPECT_EQ(ndjson(head + "\"\"}\n", defaults).summary.corrected, 1U);
  EXPECT_EQ(ndjson(head + "null}\n", defaults).summary.checks.count("set-declination-unknown"), 1U);
  EXPECT_EQ(ndjson(head + "\"unknown\"}\n", defaults).summary.checks.count("set-declination-unknown"), 1U);
}

TEST(Json, RowsThatHaveNoMeaningAreRefusedAlone) {
  for (const std::string bad :
       {R"({"lat":46.5,"lon":7.25,"date":2020,"azimuth":1,"north_reference":"magnetic"})",
        R"({"lat":46.5,"lon":7.25,"date":2020.5,"azimuth":1,"north_reference":"magnetic"})",
        R"({"lat":true,"lon":7.25,"date":"2020","azimuth":1,"north_reference":"magnetic"})",
        R"({"lat":[1],"lon":7.25,"date":"2020","azimuth":1,"north_reference":"magnetic"})",
        R"({"lat":46.5,"lon":7.25,"date":"2020","azimuth":{},"north_reference":"magnetic"})",
        R"({"lat":46.5,"lon":7.25,"date":"2020","azimuth":1,"azimuth":2,"north_reference":"magnetic"})",
        R"({"lat":46.5,"lon":7.25,"date":"2020","azimuth":1,"\u0061zimuth":2,"north_reference":"magnetic"})",
        R"({"lat":46.5,"lon":7.25,"date":"2020","azimuth":1e999,"north_reference":"magnetic"})", R"({"a":"\ud800"})",
        R"({"a":01})", R"({"a":1,})", R"({"a":NaN})", "{\"a\":\"\xE9\"}", "{\"a\":\"\t\"}", "7", "null", "[]", "\"x\"",
        "{}"}) {
    const Batch result = json(document(kRow + "," + bad + "," + kRow));
    EXPECT_EQ(result.code(), "none") << bad;
    EXPECT_EQ(result.summary.corrected, 2U) << bad;
    EXPECT_EQ(result.summary.refused, 1U) << bad;
    const auto out = nlohmann::json::parse(result.out, nullptr, false);
    ASSERT_FALSE(out.is_discarded()) << result.out;
    EXPECT_EQ(out["readings"].size(), 3U);
    EXPECT_TRUE(out["readings"][1]["azimuth_true"].is_null());
  }
}

TEST(Json, NestingBombs) {
  const std::string deep = "{\"a\":" + std::string(100000, '[') + std::string(100000, ']') + "}";
  EXPECT_EQ(ndjson(deep + "\n" + kRow + "\n").summary.refused, 1U);
  EXPECT_EQ(ndjson(deep + "\n" + kRow + "\n").summary.corrected, 1U);
  EXPECT_EQ(json("{\"x\":" + deep + "}").code(), "file-malformed");
  EXPECT_EQ(json(std::string(3 << 20, '[')).code(), "file-malformed");
  EXPECT_EQ(json("{\"readings\":" + std::string(3 << 20, '[')).code(), "too-large");
  const std::string fits = "{\"a\":" + std::string(31, '[') + std::string(31, ']') + "," + kRow.substr(1);
  EXPECT_EQ(ndjson(fits + "\n").summary.corrected, 1U);
  std::string keys = "{";
  for (int i = 0; i < 1000000; ++i) keys += "\"k" + std::to_string(i) + "\":1,";
  EXPECT_EQ(json(keys + "\"readings\":[]}").code(), "too-large") << "nothing is gathered without bound";
}

TEST(Json, DocumentsThatAreNoJson) {
  for (const std::string& bad : std::vector<std::string>{
           document(kRow) + "x", document(kRow) + "{}", document(kRow + ","), document(kRow + ",," + kRow),
           document("," + kRow), "{\"readings\":[" + kRow + "],}", "{\"a\" 1}", "{\"a\":}", "{a:1}", "{,}",
           "{\"a\":tru}", "{\"readings\":{}}", document(kRow).substr(0, 40), "{\"readings\":[],\"readings\":[]}",
           "{\"\\x\":1,\"readings\":[]}", "{\"readings\":[" + kRow + " " + kRow + "]}"}) {
    EXPECT_EQ(json(bad).code(), "file-malformed") << bad;
  }
  const std::string whole = document(kRow, R"("defaults":{"letters":"es"},"x":[1],)");
  for (std::size_t length = 0; length < whole.size(); ++length)
    EXPECT_EQ(json(whole.substr(0, length)).code(), "file-malformed") << length;
}

TEST(Json, LineOfTheFileIsNamed) {
  const Batch result = json("{\n\"readings\":[\n" + kRow + ",\n\n{\"a\":1}\n]}");
  ASSERT_EQ(result.summary.first_refused.size(), 1U);
  EXPECT_EQ(result.summary.first_refused[0].row, 2U);
  EXPECT_EQ(result.summary.first_refused[0].line, 5U);
}

TEST(Ndjson, BadLinesAreKeptAsRawRow) {
  const Batch result = ndjson(kRow + "\r\n\nno json \"here\"\n" + kRow);
  const auto lines = split(result.out, '\n');
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_EQ(nlohmann::json::parse(lines[1])["raw_row"], "no json \"here\"");
  EXPECT_EQ(nlohmann::json::parse(lines[1])["status"], "refused");
  EXPECT_EQ(result.summary.corrected, 2U);
  EXPECT_EQ(result.summary.first_refused[0].line, 3U);
  EXPECT_EQ(ndjson(std::string(2 << 20, 'x')).code(), "too-large");
}

TEST(Ndjson, RowsOnSeveralLinesComeOutOnOne) {
  std::string spread = kRow;
  for (std::size_t at = 0; (at = spread.find(',', at)) != std::string::npos; at += 2) spread.replace(at, 1, ",\r\n");
  const Batch result = run(document(spread + "," + spread), Format::json, Format::ndjson);
  const auto lines = split(result.out, '\n');
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_EQ(nlohmann::json::parse(lines[1])["status"], "corrected");
}

TEST(Ndjson, ToJsonAndBack) {
  const Batch up = run(kRow + "\n" + kRow + "\n", Format::ndjson, Format::json);
  EXPECT_EQ(nlohmann::json::parse(up.out)["readings"].size(), 2U);
  const Batch down = run(document(kRow + "," + kRow), Format::json, Format::ndjson);
  EXPECT_EQ(down.out, ndjson(kRow + "\n" + kRow + "\n").out) << "through every door the same bytes";
}

TEST(Formats, ConversionsThatLoseAreRefused) {
  for (const auto& [in, out] : {std::pair{Format::json, Format::csv},
                                {Format::ndjson, Format::csv},
                                {Format::csv, Format::geojson},
                                {Format::geojson, Format::csv},
                                {Format::json, Format::geojson},
                                {Format::geojson, Format::json}})
    EXPECT_EQ(run("", in, out).code(), "unsupported-format");
}

TEST(Formats, Options) {
  EXPECT_EQ(csv("", {{"nonsense", "1"}}).code(), "unknown-name");
  EXPECT_EQ(csv("", {{"decimal", "dot"}}).code(), "unknown-name");
  EXPECT_EQ(csv("", {{"delimiter", "|"}}).code(), "unknown-name");
  EXPECT_EQ(csv("", {{"model", "nonsense"}}).code(), "model-unknown");
  EXPECT_EQ(csv("", {{"azimuth_unit", "grad"}}).code(), "unknown-name");
  EXPECT_EQ(csv("a,lat,lon,date,azimuth\n", {{"delimiter", "semicolon"}}).code(), "columns-missing");
}

}  // namespace
}  // namespace agonic::exchange
