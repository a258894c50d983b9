// The registry's calls through the service: versions, repeats, reports, and a store that fails.
#include "tests/server/registry/registry_fixture.hpp"

namespace agonic::server::registry {
namespace {

using nlohmann::json;

class CallsTest : public RegistryServiceTest {
 protected:
  json body(const Response& response) { return json::parse(whole(response)); }
  World world = make();
};

TEST_F(CallsTest, ARecordGrowsByVersionsAndKeepsWhatWasSaid) {
  Response response = call(world, "POST", "/v1/instruments", {}, R"({"id":"A 1/2","why":"w"})");
  EXPECT_EQ(word_of(response), "out-of-range");  // no slash in an id
  response = call(world, "POST", "/v1/instruments", {}, R"({"id":"A é1","graduation_deg":0.5,"note":"n","why":"new"})");
  ASSERT_EQ(response.status, 201);
  EXPECT_EQ(header(response, "Location"), "/v1/instruments/A%20%C3%A91");
  EXPECT_EQ(header(response, "ETag"), "\"v1\"");
  EXPECT_EQ(header(response, "Cache-Control"), "no-store");
  const std::string at = header(response, "Location");
  EXPECT_EQ(call(world, "POST", at + "/index-errors", {},
                 R"({"error_deg":0.4,"sigma_deg":0.2,"from":"2026-01-01","until":"2026-01-31","why":"w"})")
                .status,
            201);
  EXPECT_EQ(
      call(world, "POST", at + "/settings", {}, R"({"set_declination":"13.5W","from":"2026-01-15","why":"w"})").status,
      201);
  response = call(world, "PUT", at, {}, R"({"graduation_deg":1,"why":"mistyped"})", {{"if-match", "\"v3\""}});
  EXPECT_EQ(response.status, 200);
  EXPECT_EQ(header(response, "ETag"), "\"v4\"");
  const json record = body(call(world, "GET", at + "?history=yes&date=2026-01-31"));
  EXPECT_EQ(record.at("descriptions").size(), 2u);
  EXPECT_EQ(record.at("descriptions")[0].at("graduation_deg"), 0.5);
  EXPECT_EQ(record.at("descriptions")[1].at("why"), "mistyped");
  EXPECT_EQ(record.at("descriptions")[1].at("who"), "local");
  EXPECT_EQ(record.at("descriptions")[1].at("when"), "2026-03-01T23:59:30Z");
  EXPECT_EQ(record.at("in_force").at("azimuth").at("error_deg")[0], 0.4);
  EXPECT_EQ(record.at("in_force").at("setting").at("set_declination"), -13.5);
  const json after = body(call(world, "GET", at + "?date=2026-02-01"));
  EXPECT_EQ(after.at("in_force").at("lacking"),
            "no azimuth index error is recorded for 2026-02-01; the last one before ends on 2026-01-31");
  EXPECT_EQ(call(world, "GET", at + "?nonsense=1").status, 400);
}

TEST_F(CallsTest, AChangeNeedsTheVersionItIsMadeOn) {
  call(world, "POST", "/v1/instruments", {}, kNew);
  const auto put = [&](std::vector<NamedText> headers) {
    return call(world, "PUT", "/v1/instruments/A-1", {}, R"({"why":"w"})", std::move(headers));
  };
  Response response = put({});
  EXPECT_EQ(response.status, 428);
  EXPECT_EQ(word_of(response), "version-missing");
  for (const char* stale :
       {"\"v0\"", "\"v2\"", "\"v11\"", "v1", "\"1\"", "W/\"v1\"", "\"v1", "\"v1x\"", "\"\"", "\"v-1\""}) {
    response = put({{"if-match", stale}});
    EXPECT_EQ(response.status, 412) << stale;
    EXPECT_EQ(header(response, "ETag"), "\"v1\"");
  }
  EXPECT_EQ(put({{"if-match", "\"v1\""}}).status, 200);
  EXPECT_EQ(put({{"if-match", "\"v1\""}}).status, 412);
  EXPECT_EQ(put({{"if-match", "*"}}).status, 200);
  // Where it may be left out it still counts when it is there.
  const std::string setting = R"({"set_declination":0,"from":"2026-01-01","why":"w"})";
  EXPECT_EQ(call(world, "POST", "/v1/instruments/A-1/settings", {}, setting, {{"if-match", "\"v1\""}}).status, 412);
  EXPECT_EQ(call(world, "POST", "/v1/instruments/A-1/settings", {}, setting).status, 201);
}

TEST_F(CallsTest, ARepeatedRequestIsDoneOnceForADay) {
  const std::vector<NamedText> key{{"idempotency-key", "a1"}};
  const Response first = call(world, "POST", "/v1/instruments", {}, kNew, key);
  const Response second = call(world, "POST", "/v1/instruments", {}, kNew, key);
  EXPECT_EQ(second.status, 201);
  EXPECT_EQ(second.body, first.body);
  EXPECT_EQ(header(second, "ETag"), header(first, "ETag"));
  EXPECT_EQ(header(second, "Location"), header(first, "Location"));
  EXPECT_EQ(word_of(call(world, "POST", "/v1/instruments", {}, R"({"id":"A-2","why":"w"})", key)),
            "idempotency-key-reused");
  const std::string error = R"({"error_deg":1,"sigma_deg":1,"from":"2026-01-01","why":"w"})";
  for (int i = 0; i < 3; ++i)
    EXPECT_EQ(call(world, "POST", "/v1/instruments/A-1/index-errors", {}, error, {{"idempotency-key", "b1"}}).status,
              201);
  EXPECT_EQ(body(call(world, "GET", "/v1/instruments/A-1")).at("version"), 2);
  EXPECT_EQ(call(world, "POST", "/v1/instruments", {}, kNew, {{"idempotency-key", "a b"}}).status, 422);
  clock += std::chrono::hours(24) + std::chrono::seconds(1);
  EXPECT_EQ(word_of(call(world, "POST", "/v1/instruments", {}, kNew, key)), "already-exists");
}

TEST_F(CallsTest, BadBodiesAreRefusedByName) {
  call(world, "POST", "/v1/instruments", {}, kNew);
  const auto post = [&](const std::string& text) { return call(world, "POST", "/v1/instruments", {}, text); };
  EXPECT_EQ(word_of(post("{")), "body-malformed");
  EXPECT_EQ(word_of(post("[]")), "body-malformed");
  EXPECT_EQ(word_of(post(std::string(30000, '['))), "body-malformed");
  EXPECT_EQ(word_of(post(R"({"id":"B","why":"w","colour":"black"})")), "unknown-name");
  EXPECT_EQ(word_of(post(R"({"id":"B"})")), "missing-value");
  EXPECT_EQ(word_of(post(R"({"why":"w"})")), "missing-value");
  EXPECT_EQ(word_of(post("{\"id\":\"\xC3\",\"why\":\"w\"}")), "body-malformed");
  EXPECT_EQ(call(world, "POST", "/v1/instruments", {}, std::string(70000, ' ')).status, 413);
  EXPECT_EQ(call(world, "POST", "/v1/instruments", {}, "", {{"content-type", "text/plain"}}).status, 415);
  EXPECT_EQ(word_of(call(world, "POST", "/v1/keys", {}, R"({"team":"a b","name":"n"})")), "out-of-range");
  EXPECT_EQ(word_of(call(world, "POST", "/v1/keys", {}, R"({"team":"a","name":"n","scope":"all"})")), "unknown-name");
  EXPECT_EQ(word_of(call(world, "POST", "/v1/keys", {}, R"({"team":"a"})")), "missing-value");
  EXPECT_EQ(body(call(world, "GET", "/v1/instruments")).at("instruments").size(), 1u);
}

TEST_F(CallsTest, TheListComesInPages) {
  for (const char* id : {"c", "a b", "b"})
    call(world, "POST", "/v1/instruments", {}, std::string(R"({"why":"w","id":")") + id + "\"}");
  json page = body(call(world, "GET", "/v1/instruments?limit=2"));
  ASSERT_EQ(page.at("instruments").size(), 2u);
  EXPECT_EQ(page.at("instruments")[0].at("id"), "a b");
  page = body(call(world, "GET", page.at("next").get<std::string>()));
  ASSERT_EQ(page.at("instruments").size(), 1u);
  EXPECT_EQ(page.at("instruments")[0].at("id"), "c");
  EXPECT_FALSE(page.contains("next"));
  for (const char* limit : {"0", "1001", "-1", "x", "1x"})
    EXPECT_EQ(call(world, "GET", std::string("/v1/instruments?limit=") + limit).status, 422) << limit;
}

TEST_F(CallsTest, ADumpCanBeImportedByAnotherTeamWhoseHistorySaysSo) {
  call(world, "POST", "/v1/instruments", {}, kNew);
  const std::string error = R"({"error_deg":1,"sigma_deg":1,"from":"2026-01-01","why":"found"})";
  call(world, "POST", "/v1/instruments/A-1/index-errors", {}, error);
  const std::string dump = whole(call(world, "GET", "/v1/registry/dump"));
  EXPECT_EQ(body(call(world, "POST", "/v1/registry/import", {}, dump)).at("refused").size(), 1u);  // there already
  const std::string beta = key_for(world, "beta");
  json done = body(call(world, "POST", "/v1/registry/import", beta, dump));
  EXPECT_EQ(done.at("imported"), json::array({"A-1"}));
  const json record = body(call(world, "GET", "/v1/instruments/A-1", beta));
  EXPECT_EQ(record.at("index_errors")[0].at("error_deg"), 1.0);
  EXPECT_EQ(record.at("index_errors")[0].at("why"), "found");
  const std::string who = record.at("index_errors")[0].at("who");
  EXPECT_TRUE(who.starts_with("beta's key (k_")) << who;
  EXPECT_TRUE(who.ends_with("), from local of 2026-03-01T23:59:30Z")) << who;
  EXPECT_EQ(word_of(call(world, "POST", "/v1/registry/import", beta, "{}")), "body-malformed");
}

TEST_F(CallsTest, TheReportSaysWhichOfASetNeedService) {
  for (int i = 1; i <= 20; ++i) {
    const std::string id = "C-" + std::to_string(100 + i);
    call(world, "POST", "/v1/instruments", {}, R"({"why":"w","id":")" + id + "\"}");
    if (i == 7) continue;
    const std::string value = i == 9 ? "[0,6,0,0,0]" : i == 11 ? "3.5" : "0.5";
    const std::string from = i == 13 ? "2024-01-01" : "2025-06-01";
    ASSERT_EQ(call(world, "POST", "/v1/instruments/" + id + "/index-errors", {},
                   R"({"sigma_deg":0.2,"why":"w","from":")" + from + R"(","error_deg":)" + value + "}")
                  .status,
              201);
  }
  const json report = body(call(world, "GET", "/v1/registry/report"));
  EXPECT_EQ(report.at("date"), "2026-03-01");
  EXPECT_EQ(report.at("need_service"), 4);
  EXPECT_EQ(report.at("of"), 20);
  std::map<std::string, std::string> codes;
  for (const auto& row : report.at("instruments"))
    if (row.at("needs_service")) codes[row.at("id")] = row.at("findings")[0].at("code");
  EXPECT_EQ(
      codes,
      (std::map<std::string, std::string>{
          {"C-107", "no-record"}, {"C-109", "magnetised"}, {"C-111", "large-index-error"}, {"C-113", "stale-fit"}}));
  EXPECT_EQ(body(call(world, "GET", "/v1/registry/report?date=2030-01-01")).at("need_service"), 20);
}

TEST_F(CallsTest, ABackupCarriesItsDigestAndHoldsEverything) {
  call(world, "POST", "/v1/instruments", {}, kNew);
  const Response response = call(world, "GET", "/v1/registry/backup");
  ASSERT_EQ(response.status, 200);
  EXPECT_EQ(response.content_type, "application/vnd.sqlite3");
  EXPECT_EQ(header(response, "Agonic-Sha256"), digest_of(response.body));
  EXPECT_TRUE(response.body.starts_with(std::string_view("SQLite format 3\0", 16)));
}

TEST_F(CallsTest, WithTheStoreGoneReadsAndLookupsGoOnAndWritesAre503) {
  call(world, "POST", "/v1/instruments", {}, kNew);
  EXPECT_EQ(call(world, "GET", "/readyz").status, 200);
  world.store->reads_fail = StoreFailure::Kind::gone;
  const Response written = call(world, "POST", "/v1/instruments", {}, R"({"id":"B","why":"w"})");
  EXPECT_EQ(written.status, 503);
  EXPECT_EQ(word_of(written), "registry-unavailable");
  EXPECT_EQ(header(written, "Retry-After"), "2");
  std::this_thread::sleep_for(std::chrono::milliseconds(1100));  // so that the reads that follow try it anew
  EXPECT_EQ(call(world, "GET", "/v1/instruments/A-1").status, 200);
  EXPECT_EQ(call(world, "GET", "/v1/registry/dump").status, 200);
  EXPECT_TRUE(world.registry->of_team("local")->find("A-1"));
  EXPECT_EQ(call(world, "GET", "/v1/declination?place=1+2&date=2028").status, 200);
  EXPECT_EQ(call(world, "GET", "/readyz").status, 503);
  EXPECT_EQ(call(world, "GET", "/healthz").status, 200);
  world.store->reads_fail.reset();
  std::this_thread::sleep_for(std::chrono::milliseconds(1100));  // it is asked again after a second
  EXPECT_EQ(call(world, "POST", "/v1/instruments", {}, R"({"id":"B","why":"w"})").status, 201);
  EXPECT_EQ(call(world, "GET", "/readyz").status, 200);
}

TEST_F(CallsTest, AFullDiskIs507AndNothingIsChanged) {
  call(world, "POST", "/v1/instruments", {}, kNew);
  world.store->writes_fail = StoreFailure::Kind::full;
  const Response response = call(world, "PUT", "/v1/instruments/A-1", {}, R"({"why":"w"})", {{"if-match", "*"}});
  EXPECT_EQ(response.status, 507);
  EXPECT_EQ(word_of(response), "storage-full");
  EXPECT_EQ(body(call(world, "GET", "/v1/instruments/A-1")).at("version"), 1);
  world.store->writes_fail.reset();  // and it goes on by itself
  EXPECT_EQ(call(world, "PUT", "/v1/instruments/A-1", {}, R"({"why":"w"})", {{"if-match", "*"}}).status, 200);
}

TEST_F(CallsTest, ADamagedStoreSaysHowToRestore) {
  world.store->reads_fail = StoreFailure::Kind::damaged;
  const Response response = call(world, "POST", "/v1/instruments", {}, kNew);
  EXPECT_EQ(response.status, 503);
  EXPECT_NE(response.body.find("--restore"), std::string::npos);
  EXPECT_EQ(header(response, "Retry-After"), "");  // waiting does not help
}

TEST_F(CallsTest, AServiceWithoutARegistrySaysSo) {
  Service none(loopback(), engine, log, stub_time);
  const Request request = made("GET", "/v1/instruments", {{"host", "127.0.0.1"}});
  TextBody empty("");
  const Response refused = none.handle(request, empty);
  EXPECT_EQ(refused.status, 503);
  EXPECT_NE(refused.body.find("keeps no registry"), std::string::npos);
}

}  // namespace
}  // namespace agonic::server::registry
