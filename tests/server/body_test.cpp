// Bodies: small JSON documents, hostile ones, and batches through the stub.
#include "server/spool.hpp"
#include "tests/server/service_fixture.hpp"

namespace agonic::server {
namespace {

TEST_F(ServiceTest, AJsonBodyCarriesWhatTheQueryWould) {
  const Response response = post_json(
      "/v1/declination",
      R"({"lat":-33.5,"lon":151,"height_m":1e3,"graduation":0.5,"date":"2028-07-04","force_unusable":true,"crs":null})");
  EXPECT_EQ(response.status, 200) << response.body;
  EXPECT_EQ(engine.last.get("lat"), "-33.5");
  EXPECT_EQ(engine.last.get("lon"), "151");
  EXPECT_EQ(engine.last.get("height_m"), "1e3");
  EXPECT_EQ(engine.last.get("graduation"), "0.5");
  EXPECT_EQ(engine.last.get("date"), "2028-07-04");
  EXPECT_EQ(engine.last.get("force_unusable"), "yes");
  EXPECT_EQ(engine.last.get("crs"), std::nullopt);
  EXPECT_EQ(header(response, "Cache-Control"), "no-store");
  EXPECT_EQ(header(response, "ETag"), "");
}

TEST_F(ServiceTest, NumbersKeepTheDigitsTheyWereWrittenWith) {
  post_json("/v1/declination", R"({"lat":42.2830000000000001,"lon":-71.350})");
  EXPECT_EQ(engine.last.get("lat"), "42.2830000000000001");
  EXPECT_EQ(engine.last.get("lon"), "-71.350");
}

TEST_F(ServiceTest, ADateAsAJsonNumberIsRefused) {
  for (const char* text : {R"({"date":2008})", R"({"date":2008.5})", R"({"date":20080701})"}) {
    const Response response = post_json("/v1/declination", text);
    EXPECT_EQ(response.status, 400);
    EXPECT_NE(response.body.find("\"field\":\"date\""), std::string::npos) << response.body;
  }
  EXPECT_EQ(engine.calls, 0);
}

TEST_F(ServiceTest, HostileJsonIsRefusedAndNeverReachesTheEngine) {
  std::vector<std::string> bodies{"",
                                  " ",
                                  "null",
                                  "1",
                                  "true",
                                  "\"x\"",
                                  "[]",
                                  R"([{"lat":1}])",
                                  "{",
                                  R"({"lat":})",
                                  R"({"lat":1,})",
                                  R"({"lat":1}{"lon":2})",
                                  R"({"lat":1} x)",
                                  R"({"lat":{"a":1}})",
                                  R"({"lat":[1]})",
                                  R"({"lat":1,"lat":1})",
                                  R"({"lat":null,"lat":1})",
                                  R"({"place":true})",
                                  R"({"model":3})",
                                  R"({"lat":NaN})",
                                  R"({"lat":Infinity})",
                                  R"({"lat":1e999})",
                                  R"({"lat":-1e999})",
                                  R"({"lat":0x1})",
                                  R"({"lat":01})",
                                  R"({"lat":.5})",
                                  R"({"lat":+1})",
                                  R"({'lat':1})",
                                  "{\"lat\":1 /* */}",
                                  "{\"place\":\"\xff\xfe\"}",
                                  "{\"place\":\"a\nb\"}",
                                  R"({"place":"\ud800"})",
                                  std::string("{\"lat\":1\0}", 10),
                                  "\xef\xbb\xbf[]",
                                  std::string(30000, '['),
                                  std::string(30000, '{')};
  std::string deep;
  for (int i = 0; i < 10000; ++i) deep += "{\"a\":";
  bodies.push_back(deep);
  for (const std::string& body : bodies) {
    const Response response = post_json("/v1/declination", body);
    EXPECT_EQ(response.status, 400) << body.substr(0, 60);
    problem_word(response);
  }
  EXPECT_EQ(engine.calls, 0);
}

TEST_F(ServiceTest, ABodyBeyond64KiBIs413) {
  EXPECT_EQ(post_json("/v1/declination", std::string(65 * 1024, ' ')).status, 413);
}

TEST_F(ServiceTest, OnlyJsonIsTakenByALookup) {
  for (const char* type : {"application/x-www-form-urlencoded", "text/plain", "", "application/json; charset=latin1"}) {
    const Response response = ask("POST", "/v1/declination", {{"Content-Type", type}}, "place=1+2");
    EXPECT_EQ(response.status, 415) << type;
    EXPECT_EQ(header(response, "Accept-Post"), "application/json");
  }
  EXPECT_EQ(ask("POST", "/v1/declination", {}, "{}").status, 415);
  EXPECT_EQ(ask("POST", "/v1/declination", {{"Content-Type", "Application/JSON; charset=\"UTF-8\""}}, "{}").status,
            200);
}

TEST_F(ServiceTest, ABatchGoesOutAsItCameIn) {
  const Response response = post_csv("/v1/correct?north_reference=circle&set_declination=0", "a\nBAD\n");
  EXPECT_EQ(response.status, 200);
  EXPECT_EQ(whole(response), "a\nBAD\n");
  EXPECT_EQ(response.content_type, "text/csv; charset=utf-8; header=present");
  EXPECT_EQ(engine.last.get("north_reference"), "circle");
  EXPECT_EQ(engine.last.get("set_declination"), "0");
  const auto summary = nlohmann::json::parse(header(response, "Agonic-Summary"));
  EXPECT_EQ(summary.at("rows"), 2);
  EXPECT_EQ(header(response, "Cache-Control"), "no-store");
}

TEST_F(ServiceTest, ALongSummaryIsCutToItsCounts) {
  std::string rows;
  for (int i = 0; i < 100; ++i) rows += "BAD\n";
  const Response response = post_csv("/v1/correct", rows);
  const std::string summary = header(response, "Agonic-Summary");
  EXPECT_LE(summary.size(), 4096u);
  EXPECT_EQ(nlohmann::json::parse(summary).at("rows"), 100);
}

TEST_F(ServiceTest, AcceptOrFDecidesTheFormatOut) {
  const auto out = [&](const std::string& target, const std::string& accept) {
    const Response response = ask("POST", target, {{"Content-Type", "text/csv"}, {"Accept", accept}}, "a\n");
    return response.status == 200 ? response.content_type : std::to_string(response.status);
  };
  const std::string csv = "text/csv; charset=utf-8; header=present";
  EXPECT_EQ(out("/v1/correct", ""), csv);
  EXPECT_EQ(out("/v1/correct", "*/*"), csv);
  EXPECT_EQ(out("/v1/correct", "text/*;q=0.5, application/json"), "application/json");
  EXPECT_EQ(out("/v1/correct", "application/json;q=0.5, text/csv"), csv);
  EXPECT_EQ(out("/v1/correct", "text/csv;q=0, */*"), "application/json");
  EXPECT_EQ(out("/v1/correct", "application/geo+json"), "application/geo+json");
  EXPECT_EQ(out("/v1/correct", "image/png"), "406");
  EXPECT_EQ(out("/v1/correct?f=ndjson", "text/csv"), "application/x-ndjson");
  EXPECT_EQ(engine.last.get("f"), std::nullopt);
  EXPECT_EQ(out("/v1/correct?f=xls", ""), "400");
}

TEST_F(ServiceTest, AnUnknownTypeOfBatchIs415WithAcceptPost) {
  for (const char* type : {"", "csv", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data",
                           "text/csv; charset=utf-16"}) {
    const Response response = ask("POST", "/v1/correct", {{"Content-Type", type}}, "a\n");
    EXPECT_EQ(response.status, 415) << type;
    EXPECT_NE(header(response, "Accept-Post").find("application/x-ndjson"), std::string::npos);
  }
}

TEST_F(ServiceTest, AFileCorrectedBeforeIs409AndNothingOfItComesOut) {
  const Response response = post_csv("/v1/correct", "a\nSTOP\nb\n");
  EXPECT_EQ(response.status, 409);
  EXPECT_EQ(problem_word(response), "already-corrected");
  EXPECT_EQ(response.source, nullptr);
}

TEST_F(ServiceTest, ATruncatedUploadIs400AndItsSlotIsFree) {
  EXPECT_EQ(post_csv("/v1/correct", "a\nb\n", BodyEnd::truncated).status, 400);
  EXPECT_EQ(post_csv("/v1/correct", "a\n", BodyEnd::malformed).status, 400);
  EXPECT_EQ(post_csv("/v1/correct", "a\n", BodyEnd::too_slow).status, 408);
  const Response coded = post_csv("/v1/correct", "", BodyEnd::unsupported);
  EXPECT_EQ(coded.status, 415);
  EXPECT_EQ(header(coded, "Accept-Encoding"), "gzip");
  EXPECT_EQ(post_csv("/v1/correct", "THROW\n").status, 500);
  EXPECT_EQ(service->batches.free(), 1u);
  EXPECT_EQ(post_csv("/v1/correct", "a\n").status, 200);
}

TEST_F(ServiceTest, BatchesBeyondTheSlotsAre503AndLookupsGoOn) {
  const Slots::Hold held = service->batches.take(std::chrono::seconds(1));
  const Response response = post_csv("/v1/correct", "a\n");
  EXPECT_EQ(response.status, 503);
  EXPECT_EQ(header(response, "Retry-After"), "5");
  EXPECT_EQ(get("/v1/declination?place=1+2&date=2028").status, 200);
}

TEST_F(ServiceTest, AnUploadOrResultBeyondItsLimitIs413) {
  EXPECT_EQ(post_csv("/v1/correct", std::string(1001, 'a')).status, 413);
  EXPECT_EQ(post_csv("/v1/correct", "HUGE\nHUGE\n").status, 200);
  EXPECT_EQ(post_csv("/v1/correct", "HUGE\nHUGE\nHUGE\n").status, 413);
}

TEST_F(ServiceTest, AFullDiskIs507) {
  config.max_result = 64 << 20;
  service = std::make_unique<Service>(config, engine, log, stub_time);
  const std::string before = Spool::temporary_folder();
  ::setenv("TMPDIR", "/proc/self/none", 1);  // no file can be made there
  const Response response = post_csv("/v1/correct", "HUGE\nHUGE\nHUGE\nHUGE\nHUGE\n");
  ::setenv("TMPDIR", before.c_str(), 1);
  EXPECT_EQ(response.status, 507);
  EXPECT_EQ(problem_word(response), "storage-full");
}

std::string read_back(Spool& spool) {
  std::string text;
  EXPECT_TRUE(spool.each([&](std::string_view piece) {
    EXPECT_LE(piece.size(), 64u * 1024);
    text += piece;
    return true;
  }));
  return text;
}

TEST(Spool, KeepsASmallResultInMemory) {
  Spool spool(1000);
  spool.write("abc");
  spool.write("");
  spool.write("def");
  EXPECT_FALSE(spool.on_file());
  EXPECT_EQ(spool.size(), 6u);
  EXPECT_EQ(read_back(spool), "abcdef");
}

TEST(Spool, MovesALargeOneToAFileAndGivesItBackUnchanged) {
  Spool spool(100 << 20, Spool::temporary_folder(), 100000);
  std::string expected;
  for (std::size_t i = 0; expected.size() < 1000000; ++i) {
    const std::string piece(i % 7919, static_cast<char>('a' + i % 26));
    spool.write(piece);
    expected += piece;
  }
  EXPECT_TRUE(spool.on_file());
  EXPECT_EQ(spool.size(), expected.size());
  EXPECT_EQ(read_back(spool), expected);
  EXPECT_EQ(read_back(spool), expected);  // and again
  EXPECT_FALSE(spool.each([](std::string_view) { return false; }));
}

TEST(Spool, RefusesWhatGoesBeyondItsLimit) {
  Spool spool(10);
  spool.write("0123456789");
  try {
    spool.write("x");
    FAIL() << "took more than its limit";
  } catch (const SpoolFull& full) {
    EXPECT_EQ(full.reason(), SpoolFull::Reason::limit);
  }
}

TEST_F(ServiceTest, SightingsComeAsCsvOrJsonAndTheFitGoesOutAsJsonOrWords) {
  const auto fit = [&](const std::string& target, const char* type, std::vector<NamedText> headers = {},
                       const std::string& body = "rows") {
    headers.emplace_back("content-type", type);
    return ask("POST", target, std::move(headers), body);
  };
  const Response csv = fit("/v1/fit?place=1+2", "text/csv; charset=utf-8");
  EXPECT_EQ(csv.status, 200);
  EXPECT_EQ(csv.body, R"({"from":"csv"})");
  EXPECT_EQ(header(csv, "Agonic-Summary"), R"({"sightings":3,"refused":1,"left_out":1})");
  EXPECT_EQ(header(csv, "Cache-Control"), "no-store");
  EXPECT_EQ(engine.last.get("place"), "1 2");
  EXPECT_EQ(fit("/v1/fit", "application/json").body, R"({"from":"json"})");
  const Response words = fit("/v1/fit?all=yes", "text/csv", {{"accept", "text/plain"}});
  EXPECT_EQ(words.body, "all words\n");
  EXPECT_EQ(words.content_type, "text/plain; charset=utf-8");
  EXPECT_FALSE(engine.last.get("all"));
  EXPECT_EQ(fit("/v1/fit?f=text", "text/csv", {{"accept", "application/json"}}).body, "words\n");
  EXPECT_EQ(fit("/v1/fit", "text/csv", {{"accept", "text/plain, */*;q=0.1"}}).body, R"({"from":"csv"})");

  const Response typeless = fit("/v1/fit", "text/html");
  EXPECT_EQ(typeless.status, 415);
  EXPECT_EQ(header(typeless, "Accept-Post"), "text/csv, application/json");
  EXPECT_EQ(fit("/v1/fit", "text/csv; charset=latin1").status, 415);
  EXPECT_EQ(fit("/v1/fit", "text/csv", {{"accept", "image/png"}}).status, 406);
  EXPECT_EQ(fit("/v1/fit?f=xml", "text/csv").status, 400);
  EXPECT_EQ(fit("/v1/fit?all=perhaps", "text/csv").status, 400);
  EXPECT_EQ(fit("/v1/fit", "text/csv", {}, "bad").status, 400);
  EXPECT_EQ(fit("/v1/fit", "text/csv", {}, std::string((8 << 20) + 1, 'x')).status, 413);
  EXPECT_EQ(ask("GET", "/v1/fit").status, 405);
}

}  // namespace
}  // namespace agonic::server
