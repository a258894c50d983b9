// The routing table, methods, caching and logging of the service, with a stub in place of the model.
#include "server/error_table.hpp"
#include "server/page_assets.hpp"
#include "server/problem_response.hpp"
#include "server/routes.hpp"
#include "tests/server/service_fixture.hpp"

namespace agonic::server {
namespace {

TEST_F(ServiceTest, EveryRouteAnswersItsMethods) {
  for (const PathEntry& entry : routes()) {
    if (entry.own_origin) continue;  // the registry's: registry_access_test.cpp walks them
    std::string path(entry.path);
    if (entry.prefix) path += "date-missing";
    if (path.starts_with("/assets/")) continue;  // named by their contents: below
    if (const std::size_t name = path.find("{code}"); name != std::string::npos) path.replace(name, 6, "setting-stale");
    if (entry.get != nullptr) {
      EXPECT_EQ(get(path).status, 200) << path;
      EXPECT_EQ(ask("HEAD", path).status, 200) << path;
    }
    EXPECT_EQ(ask("OPTIONS", path).status, 204) << path;
  }
}

TEST_F(ServiceTest, AWrongMethodOnAKnownPathIs405WithAllow) {
  Response response = get("/v1/correct");
  EXPECT_EQ(response.status, 405);
  EXPECT_EQ(header(response, "Allow"), "POST, OPTIONS");
  EXPECT_EQ(problem_word(response), "method-not-allowed");
  response = ask("DELETE", "/v1/declination");
  EXPECT_EQ(response.status, 405);
  EXPECT_EQ(header(response, "Allow"), "GET, HEAD, POST, OPTIONS");
  EXPECT_EQ(ask("BREW", "/").status, 405);
}

TEST_F(ServiceTest, UnknownPathsAre404WithoutEcho) {
  for (const char* path :
       {"/v1", "/v1/declination/", "/v1//declination", "/V1/declination", "/../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd",
        "/..%5c..%5cwindows", "/problems/../readyz", "/problems/none", "/%3Cscript%3E"}) {
    const Response response = get(path);
    EXPECT_EQ(response.status, 404) << path;
    EXPECT_EQ(problem_word(response), "not-found") << path;
    EXPECT_EQ(response.body.find("script"), std::string::npos);
  }
}

TEST_F(ServiceTest, ProblemsNameFieldRemedyAndRequestAndEscapeTheValue) {
  const Response response = get("/v1/declination?place=%3Cscript%3E%0A%22&date=2028");
  EXPECT_EQ(response.status, 400);
  const auto document = nlohmann::json::parse(response.body);
  EXPECT_EQ(document.at("field"), "place");
  EXPECT_EQ(document.at("remedy"), "Use degrees.");
  EXPECT_EQ(document.at("instance"), "urn:agonic:request:" + header(response, "X-Request-Id"));
  EXPECT_EQ(response.body.find('\n'), std::string::npos);
  EXPECT_EQ(header(response, "X-Content-Type-Options"), "nosniff");
  EXPECT_EQ(header(response, "Cache-Control"), "no-store");
}

TEST_F(ServiceTest, AProblemOfAWholeFileNamesItsLineAndEveryProblemARemedy) {
  const auto document = [](const Problem& problem) {
    return nlohmann::json::parse(problem_json(*refuse(problem).refusal, ""));
  };
  const auto of_line = document({Code::file_malformed, "line 12", "", "no JSON", "Mend it."});
  EXPECT_EQ(of_line.at("line"), 12);
  EXPECT_FALSE(of_line.contains("field"));
  EXPECT_EQ(of_line.at("remedy"), "Mend it.");
  for (const char* field : {"line", "line ", "line x", "line 1x", "line -1"})
    EXPECT_EQ(document({Code::file_malformed, field, "", "no JSON", ""}).at("field"), field);
  const auto of_date = document({Code::date_ambiguous, "date", "1/2/2028", "can be read in two ways", ""});
  EXPECT_EQ(of_date.at("remedy"), error_kind(Code::date_ambiguous).explanation);
}

TEST_F(ServiceTest, WellFormedButOutOfDomainIs422) {
  const Response response = get("/v1/declination?place=91+0&date=2028");
  EXPECT_EQ(response.status, 422);
  EXPECT_EQ(problem_word(response), "place-out-of-range");
}

TEST_F(ServiceTest, ARepeatedParameterIs400) {
  EXPECT_EQ(get("/v1/declination?lat=1&lat=2").status, 400);
  EXPECT_EQ(engine.calls, 0);
}

TEST_F(ServiceTest, AnExceptionIs500AndItsTextIsKept) {
  const Response response = get("/v1/declination?place=throw");
  EXPECT_EQ(response.status, 500);
  EXPECT_EQ(response.body.find("secret"), std::string::npos);
  EXPECT_EQ(log_text.str().find("secret"), std::string::npos);
}

TEST_F(ServiceTest, ATagHeldIsAnsweredWithoutComputing) {
  const Response first = get("/v1/declination?lat=1&lon=2&date=2028");
  const std::string tag = header(first, "ETag");
  EXPECT_EQ(tag.size(), 34u);
  EXPECT_EQ(header(first, "Cache-Control"), "public, max-age=86400");
  EXPECT_EQ(engine.calls, 1);
  // The order of the query plays no part.
  const Response second = get("/v1/declination?date=2028&lon=2&lat=1", {{"If-None-Match", "\"x\", W/" + tag}});
  EXPECT_EQ(second.status, 304);
  EXPECT_EQ(header(second, "ETag"), tag);
  EXPECT_TRUE(second.body.empty());
  EXPECT_EQ(engine.calls, 1);
}

TEST_F(ServiceTest, TheTagChangesWithQueryPathAndModels) {
  const std::string tag = header(get("/v1/declination?lat=1&lon=2&date=2028"), "ETag");
  EXPECT_NE(header(get("/v1/declination?lat=1&lon=3&date=2028"), "ETag"), tag);
  EXPECT_NE(header(get("/v1/declination?lat=1l&on=2&date=2028"), "ETag"), tag);
  EXPECT_NE(header(get("/v1/setting?lat=1&lon=2&date=2028"), "ETag"), tag);
  EXPECT_EQ(get("/v1/sun?lat=1&lon=2&time=2028-01-01T00:00Z").body, R"({"azimuth_deg":3})");
  engine.digest_text = "d2";
  EXPECT_NE(header(get("/v1/declination?lat=1&lon=2&date=2028"), "ETag"), tag);
}

TEST_F(ServiceTest, AChartGoesOutAsAcceptOrFSays) {
  const auto accept = [&](const char* wanted) { return get("/v1/chart?date=2026", {{"Accept", wanted}}); };
  EXPECT_EQ(get("/v1/chart?date=2026").content_type, "application/geo+json");
  EXPECT_EQ(accept("*/*").content_type, "application/geo+json");
  EXPECT_EQ(accept("image/svg+xml").content_type, "image/svg+xml");
  EXPECT_EQ(accept("image/*;q=0.5, application/prs.coverage+json").content_type, "application/prs.coverage+json");
  EXPECT_EQ(accept("text/csv").content_type, "text/csv; charset=utf-8; header=present");
  EXPECT_EQ(accept("audio/ogg").status, 406);
  EXPECT_EQ(get("/v1/chart?date=2026&f=png", {{"Accept", "text/csv"}}).content_type, "image/png");
  EXPECT_EQ(get("/v1/chart?date=2026&f=gif").status, 400);
  // One tag a type, and a tag held is answered without drawing.
  const std::string tag = header(accept("image/svg+xml"), "ETag");
  EXPECT_NE(header(accept("text/csv"), "ETag"), tag);
  const int calls = engine.calls;
  EXPECT_EQ(get("/v1/chart?date=2026", {{"Accept", "image/svg+xml"}, {"If-None-Match", tag}}).status, 304);
  EXPECT_EQ(engine.calls, calls);
}

TEST_F(ServiceTest, TodayHoldsUntilMidnightAndTheDayIsInTheTag) {
  const Response today = get("/v1/declination?place=1+2&date=today");
  EXPECT_EQ(header(today, "Cache-Control"), "public, max-age=30");  // the clock stands at 23:59:30
  Service tomorrow(config, engine, log, [] { return stub_time() + std::chrono::seconds(60); });
  TextBody none("");
  const Response later = tomorrow.handle(made("GET", "/v1/declination?place=1+2&date=today"), none);
  EXPECT_EQ(header(later, "Cache-Control"), "public, max-age=86370");
  EXPECT_NE(header(later, "ETag"), header(today, "ETag"));
}

TEST_F(ServiceTest, PagesOfAnyOriginMayReadButNotPost) {
  EXPECT_EQ(header(get("/v1/models"), "Access-Control-Allow-Origin"), "*");
  EXPECT_EQ(header(post_csv("/v1/correct", "a\n"), "Access-Control-Allow-Origin"), "");
  EXPECT_EQ(header(ask("OPTIONS", "/v1/correct"), "Access-Control-Allow-Origin"), "");
}

TEST_F(ServiceTest, HealthFollowsTheSelfCheckAndTheStop) {
  EXPECT_EQ(get("/readyz").status, 200);
  engine.sound = false;
  EXPECT_EQ(get("/readyz").status, 503);
  EXPECT_EQ(get("/healthz").status, 200);
  engine.sound = true;
  service->start_draining();
  const Response response = get("/readyz");
  EXPECT_EQ(response.status, 503);
  EXPECT_TRUE(response.close);
}

TEST_F(ServiceTest, LookupsBeyondTheSlotsAre503WithRetryAfter) {
  config.lookups = 1;
  service = std::make_unique<Service>(config, engine, log, stub_time);
  const Slots::Hold held = service->lookups.take(std::chrono::seconds(1));
  const Response response = get("/v1/declination?place=1+2&date=2028");
  EXPECT_EQ(response.status, 503);
  EXPECT_EQ(header(response, "Retry-After"), "1");
}

TEST_F(ServiceTest, MetricsCountByRouteAndStatusOnly) {
  get("/v1/declination?place=1+2&date=2028");
  get("/nothing?lat=47.11");
  post_csv("/v1/correct", "a\nBAD\n");
  const std::string text = get("/metrics").body;
  EXPECT_NE(text.find("agonic_requests_total{route=\"/v1/declination\",status=\"200\"} 1\n"), std::string::npos);
  EXPECT_NE(text.find("agonic_requests_total{route=\"none\",status=\"404\"} 1\n"), std::string::npos);
  EXPECT_NE(text.find("agonic_rows_total 2\n"), std::string::npos);
  EXPECT_NE(text.find("agonic_rows_refused_total 1\n"), std::string::npos);
  EXPECT_NE(text.find("agonic_requests_in_flight 1\n"), std::string::npos);  // this one
  EXPECT_TRUE(text.ends_with("# EOF\n"));
  EXPECT_EQ(text.find("47.11"), std::string::npos);
}

TEST_F(ServiceTest, NoLineOfTheLogHoldsWhatAClientWrote) {
  get("/v1/declination?place=47.1234+-71.9876&date=2028-07-04", {{"X-Request-Id", "47.1234"}, {"Referer", "/47.1234"}});
  get("/47.1234/-71.9876", {{"User-Agent", "lat=47.1234"}});
  post_json("/v1/declination", R"({"lat":47.1234,"lon":-71.9876,"date":"2028-07-04"})");
  post_json("/v1/declination", R"({"lat":47.1234,"lat":47.1234})");
  post_csv("/v1/correct?place=47.1234+-71.9876", "47.1234,-71.9876\nBAD\n");
  post_csv("/v1/correct", "THROW\n");
  ask("47.1234", "/");
  ask("GET", "47.1234");
  const std::string text = log_text.str();
  std::istringstream lines(text);
  int count = 0;
  for (std::string line; std::getline(lines, line); ++count) {
    const auto entry = nlohmann::json::parse(line);
    for (const char* name : {"time", "request_id", "method", "route", "status", "bytes", "duration_s"})
      EXPECT_TRUE(entry.contains(name)) << name;
  }
  EXPECT_EQ(count, 8);
  for (const char* secret : {"47.1234", "71.9876", "2028", "Referer", "lat=", "12.3456"})
    EXPECT_EQ(text.find(secret), std::string::npos) << secret << " in " << text;
  EXPECT_NE(text.find("\"rows\":2"), std::string::npos);
}

TEST_F(ServiceTest, AGoodRequestIdComesBackAndAnythingElseIsReplaced) {
  EXPECT_EQ(header(get("/", {{"X-Request-Id", "job-7_a.b"}}), "X-Request-Id"), "job-7_a.b");
  EXPECT_NE(log_text.str().find("job-7_a.b"), std::string::npos);
  for (const std::string& bad : {std::string("a b"), std::string("a%0d"), std::string(65, 'a'), std::string("1.5"),
                                 std::string("12345"), std::string("lat47.12")})
    EXPECT_NE(header(get("/", {{"X-Request-Id", bad}}), "X-Request-Id"), bad);
  EXPECT_NE(header(get("/"), "X-Request-Id"), header(get("/"), "X-Request-Id"));
}

TEST_F(ServiceTest, ThePlainPageNeedsNothingFromElsewhere) {
  const Response response = get("/plain");
  EXPECT_TRUE(header(response, "Content-Security-Policy").starts_with("default-src 'none'"));
  EXPECT_EQ(response.body.find("http://"), response.body.find("http://localhost"));
  EXPECT_EQ(response.body.find("<script"), std::string::npos);
}

TEST_F(ServiceTest, ThePageIsOfThisOriginAlone) {
  const Response response = get("/");
  EXPECT_EQ(response.status, 200);
  EXPECT_TRUE(header(response, "Content-Security-Policy").starts_with("default-src 'none'"));
  EXPECT_EQ(header(response, "Content-Security-Policy").find("unsafe-inline"), std::string::npos);
  EXPECT_EQ(response.body.find("https://"), std::string::npos);
  EXPECT_EQ(get("/assets/nothing-of-the-kind.js").status, 404);
  if (page_assets().empty()) return;
  EXPECT_EQ(get("/", {{"If-None-Match", header(response, "ETag")}}).status, 304);
  for (const PageAsset& asset : page_assets()) {
    const Response packed = get(std::string(asset.path), {{"Accept-Encoding", "br, gzip"}});
    EXPECT_EQ(packed.status, 200) << asset.path;
    EXPECT_LE(packed.body.size(), asset.plain.size()) << asset.path;
    EXPECT_EQ(header(packed, "Cache-Control").ends_with("immutable"), asset.immutable) << asset.path;
    const Response plain = get(std::string(asset.path));
    EXPECT_EQ(plain.body, asset.plain) << asset.path;
    EXPECT_EQ(header(plain, "Content-Encoding"), "") << asset.path;
    const std::string refused =
        header(get(std::string(asset.path), {{"Accept-Encoding", "br;q=0"}}), "Content-Encoding");
    EXPECT_EQ(refused, "") << asset.path;
  }
}

TEST_F(ServiceTest, TheDescriptionNamesEveryRouteAndIsJson) {
  const auto document = nlohmann::json::parse(get("/openapi.json").body);
  EXPECT_EQ(document.at("openapi"), "3.1.0");
  for (const PathEntry& entry : routes()) {
    ASSERT_TRUE(document.at("paths").contains(entry.label)) << entry.label;
    const auto& path = document.at("paths").at(std::string(entry.label));
    EXPECT_EQ(path.contains("get"), entry.get != nullptr) << entry.label;
    EXPECT_EQ(path.contains("post"), entry.post != nullptr) << entry.label;
    EXPECT_EQ(path.contains("put"), entry.put != nullptr) << entry.label;
    EXPECT_EQ(path.contains("delete"), entry.erase != nullptr) << entry.label;
  }
  EXPECT_EQ(document.at("paths").size(), routes().size());
}

TEST(ErrorTable, HasARowForEveryReason) {
  for (int i = 0; i <= static_cast<int>(Code::internal); ++i) {
    const Code code = static_cast<Code>(i);
    EXPECT_EQ(error_kind(code).word, word(code));
  }
  for (int i = 0; i <= static_cast<int>(HttpFault::not_supported); ++i) {
    const HttpFault fault = static_cast<HttpFault>(i);
    EXPECT_EQ(error_kind(fault).word, word(fault));
  }
  std::set<std::string_view> words;
  for (const ErrorKind& kind : error_table()) {
    EXPECT_TRUE(words.insert(kind.word).second) << kind.word;
    EXPECT_FALSE(kind.title.empty() || kind.explanation.empty()) << kind.word;
    // RFC 9110 15.5 and 15.6, RFC 6585 (428, 429, 431), RFC 4918 (422, 507).
    EXPECT_TRUE((std::set{400, 401, 403, 404, 405, 406, 408, 409, 411, 412, 413, 414,
                          415, 417, 422, 428, 429, 431, 500, 501, 503, 505, 507}
                     .contains(kind.status)))
        << kind.word;
  }
  EXPECT_EQ(words.size(),
            static_cast<std::size_t>(Code::internal) + 1 + static_cast<std::size_t>(HttpFault::not_supported) + 1);
}

TEST_F(ServiceTest, EveryProblemTypeIsExplainedAtItsAddress) {
  for (const ErrorKind& kind : error_table()) {
    const auto document = nlohmann::json::parse(get("/problems/" + std::string(kind.word)).body);
    EXPECT_EQ(document.at("title"), kind.title);
    EXPECT_EQ(document.at("status"), kind.status);
  }
}

}  // namespace
}  // namespace agonic::server
