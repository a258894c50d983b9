// Who may do what: one person on loopback, teams with keys, the operator. Two teams cannot reach each other by any
// call.
#include "server/registry/access.hpp"

#include "server/endpoints/registry_call.hpp"
#include "server/routes.hpp"
#include "tests/server/registry/registry_fixture.hpp"

namespace agonic::server::registry {
namespace {

class AccessTest : public RegistryServiceTest {
 protected:
  /// What a client may send to a route, with another team's id in the path.
  struct Probe {
    std::string target, body;
    std::vector<NamedText> headers{};
    Need need = Need::read;
  };
  static const std::map<std::string, Probe>& probes() {
    static const std::string why = R"("why":"w"})";
    static const std::map<std::string, Probe> all{
        {"GET /v1/instruments", {"/v1/instruments", ""}},
        {"POST /v1/instruments", {"/v1/instruments", R"({"id":"A-1",)" + why, {}, Need::write}},
        {"GET /v1/instruments/{id}", {"/v1/instruments/A-1?history=yes&date=2026-02-01", ""}},
        {"PUT /v1/instruments/{id}", {"/v1/instruments/A-1", "{" + why, {{"If-Match", "*"}}, Need::write}},
        {"POST /v1/instruments/{id}/index-errors",
         {"/v1/instruments/A-1/index-errors",
          R"({"error_deg":1,"sigma_deg":1,"from":"2026-01-01",)" + why,
          {},
          Need::write}},
        {"POST /v1/instruments/{id}/settings",
         {"/v1/instruments/A-1/settings", R"({"set_declination":1,"from":"2026-01-01",)" + why, {}, Need::write}},
        {"GET /v1/registry/dump", {"/v1/registry/dump", ""}},
        {"POST /v1/registry/import",
         {"/v1/registry/import",
          R"({"agonic_instruments":1,"instruments":[{"id":"A-1","changes":[{"version":1,"change":"description",)"
          R"("who":"w","when":"w","why":"w"}]}]})",
          {},
          Need::write}},
        {"GET /v1/registry/report", {"/v1/registry/report", ""}},
        {"GET /v1/registry/backup", {"/v1/registry/backup", "", {}, Need::operate}},
        {"GET /v1/keys", {"/v1/keys", "", {}, Need::operate}},
        {"POST /v1/keys", {"/v1/keys", R"({"team":"alpha","name":"n"})", {}, Need::operate}},
        {"DELETE /v1/keys/{id}", {"/v1/keys/k_00000000", "", {}, Need::operate}}};
    return all;
  }
  /// Every call of every route of the registry. A route without a probe is a failure here.
  template <class Try>
  void each_call(const Try& attempt) {
    std::size_t tried = 0;
    for (const PathEntry& entry : routes()) {
      if (!entry.own_origin) continue;
      for (const auto& [method, endpoint] : std::initializer_list<std::pair<std::string, Endpoint>>{
               {"GET", entry.get}, {"POST", entry.post}, {"PUT", entry.put}, {"DELETE", entry.erase}}) {
        if (endpoint == nullptr) continue;
        const std::string name = method + ' ' + std::string(entry.label);
        const auto probe = probes().find(name);
        ASSERT_NE(probe, probes().end()) << name << " has no probe: say how another team would try it";
        attempt(name, method, probe->second);
        ++tried;
      }
    }
    EXPECT_EQ(tried, probes().size());
  }
  Response send(World& world, const std::string& method, const Probe& probe, const std::string& key,
                std::vector<NamedText> more = {}) {
    more.insert(more.end(), probe.headers.begin(), probe.headers.end());
    return call(world, method, probe.target, key, probe.body, std::move(more));
  }
  /// All that a client sees, but for what differs between any two requests.
  static std::string seen(const Response& response) {
    std::string body = whole(response);
    if (const auto at = body.find(",\"instance\""); at != std::string::npos) body.resize(at);
    std::string text = std::to_string(response.status) + body;
    for (const NamedText& header : response.headers)
      if (header.first != "X-Request-Id" && header.first != "Date" && !header.first.starts_with("RateLimit"))
        text += '\n' + header.first + ": " + header.second;
    for (std::size_t at = 0; (at = text.find("(k_", at)) != std::string::npos;)
      text.erase(at, 11);  // the id of its own key
    return text;
  }
};

TEST_F(AccessTest, TwoTeamsCannotReachEachOtherByAnyCall) {
  each_call([&](const std::string& name, const std::string& method, const Probe& probe) {
    World with = make(), without = make();
    const std::string alpha = key_for(with, "alpha");
    const std::string beta_with = key_for(with, "beta"), beta_without = key_for(without, "beta");
    ASSERT_EQ(
        call(with, "POST", "/v1/instruments", alpha, R"({"id":"A-1","note":"alpha's secret","why":"new"})").status,
        201);
    ASSERT_EQ(call(with, "POST", "/v1/instruments/A-1/index-errors", alpha,
                   R"({"error_deg":1.25,"sigma_deg":1,"from":"2026-01-01","why":"alpha's secret"})")
                  .status,
              201);
    const std::string before = whole(call(with, "GET", "/v1/registry/dump", alpha));
    // Whether the other team has such an instrument or none at all, beta gets the same.
    const Response there = send(with, method, probe, beta_with);
    EXPECT_EQ(seen(there), seen(send(without, method, probe, beta_without))) << name;
    EXPECT_EQ(seen(there).find("secret"), std::string::npos) << name;
    EXPECT_EQ(whole(call(with, "GET", "/v1/registry/dump", alpha)), before) << name << " changed another team's record";
  });
}

TEST_F(AccessTest, AnInstrumentOfAnotherTeamIsOneThatIsNotThere) {
  World world = make();
  const std::string alpha = key_for(world, "alpha"), beta = key_for(world, "beta");
  call(world, "POST", "/v1/instruments", alpha, kNew);
  EXPECT_EQ(call(world, "GET", "/v1/instruments/A-1", alpha).status, 200);
  EXPECT_EQ(seen(call(world, "GET", "/v1/instruments/A-1", beta)),
            seen(call(world, "GET", "/v1/instruments/A-2", beta)));
  // Not even wrong input makes a difference.
  for (const char* body : {"{", R"({"why":"w"})"})
    EXPECT_EQ(call(world, "PUT", "/v1/instruments/A-1", beta, body).status, 404) << body;
  // The same id is free for each team, and each has its own.
  EXPECT_EQ(call(world, "POST", "/v1/instruments", beta, kNew).status, 201);
  call(world, "PUT", "/v1/instruments/A-1", beta, R"({"note":"beta's","why":"w"})", {{"if-match", "\"v1\""}});
  EXPECT_EQ(nlohmann::json::parse(call(world, "GET", "/v1/instruments/A-1", alpha).body).at("version"), 1);
  // Batches find a team's own instruments by the same way.
  EXPECT_EQ(world.registry->of_team("alpha")->find("A-1").value()->version, 1);
  EXPECT_EQ(world.registry->of_team("beta")->find("A-1").value()->version, 2);
  EXPECT_EQ(world.registry->of_team("gamma")->find("A-1").problem().text(),
            world.registry->of_team("gamma")->find("A-1").problem().text());
  EXPECT_EQ(world.registry->of_team("gamma")->find("A-1").problem().code, Code::instrument_unknown);
}

// The one call outside the registry's own that writes to it.
TEST_F(AccessTest, AFitIsKeptInTheCallersOwnRecordsAlone) {
  World world = make();
  const std::string alpha = key_for(world, "alpha"), beta = key_for(world, "beta");
  const std::string reader = key_for(world, "alpha", "read");
  call(world, "POST", "/v1/instruments", alpha, kNew);
  const auto fit = [&](const std::string& key, const std::string& id) {
    return call(world, "POST", "/v1/fit?store=" + id, key, "{}");
  };
  EXPECT_EQ(seen(fit(beta, "A-1")), seen(fit(beta, "A-2")));
  EXPECT_EQ(fit(beta, "A-1").status, 404);
  EXPECT_EQ(word_of(fit(reader, "A-1")), "not-allowed");
  EXPECT_EQ(word_of(fit({}, "A-1")), "key-missing");
  EXPECT_EQ(nlohmann::json::parse(call(world, "GET", "/v1/instruments/A-1", alpha).body).at("version"), 1);
  const Response kept = fit(alpha, "A-1");
  ASSERT_EQ(kept.status, 200) << whole(kept);
  const auto answer = nlohmann::json::parse(kept.body);
  EXPECT_EQ(answer.at("from"), "json");
  EXPECT_EQ(answer.at("stored").at("version"), 2);
  EXPECT_NE(call(world, "GET", "/v1/instruments/A-1", alpha).body.find("0.75"), std::string::npos);
}

TEST_F(AccessTest, ABatchFindsTheInstrumentsOfItsCallerAndIsToldWhyItFindsNone) {
  World world = make();
  call(world, "POST", "/v1/instruments", {}, kNew);
  const auto found = [&](const std::string& key, std::vector<NamedText> headers = {{"host", "localhost"}}) {
    if (!key.empty()) headers.emplace_back("authorization", "Bearer " + key);
    const Request request = made("POST", "/v1/correct", std::move(headers));
    TextBody body("");
    const Call batch{*world.service, request, body, {}, {}, 0, {}};
    const auto record = instruments_for(batch)->find("A-1");
    return record ? "team " + record.value()->team : record.problem().message;
  };
  EXPECT_EQ(found({}), "team local");
  EXPECT_NE(found({}, {{"host", "elsewhere.example"}}).find("this machine's own names"), std::string::npos);
  const std::string alpha = key_for(world, "alpha");
  EXPECT_NE(found({}).find("a key is needed"), std::string::npos);
  EXPECT_EQ(found(alpha), "no instrument of this id is recorded");
  call(world, "POST", "/v1/instruments", alpha, kNew);
  EXPECT_EQ(found(alpha), "team alpha");
}

TEST_F(AccessTest, OnePersonOnLoopbackNeedsNoKeyUntilOneIsMade) {
  each_call([&](const std::string& name, const std::string& method, const Probe& probe) {
    World world = make();
    call(world, "POST", "/v1/instruments", {}, kNew);
    const Response response = send(world, method, probe, {});
    EXPECT_TRUE(response.status < 300 || response.status == 409 || response.status == 404)
        << name << ' ' << response.status;
    // The first key closes the door, and revoking it does not open it again.
    const std::string key = key_for(world, "local");
    Response closed = send(world, method, probe, {});
    EXPECT_EQ(word_of(closed), "key-missing") << name;
    EXPECT_EQ(header(closed, "WWW-Authenticate"), "Bearer realm=\"agonic\"") << name;
    for (const KeyRow& made : world.registry->keys()) world.registry->revoke_key(made.id);
    EXPECT_EQ(word_of(send(world, method, probe, {})), "key-missing") << name;
    EXPECT_EQ(word_of(send(world, method, probe, key)), "key-missing") << name << " with a revoked key";
  });
}

TEST_F(AccessTest, WithoutKeysNothingIsOpenBeyondThisMachine) {
  Config open = loopback();
  open.host = "0.0.0.0";
  each_call([&](const std::string& name, const std::string& method, const Probe& probe) {
    World beyond = make(open);
    const Response refused = send(beyond, method, probe, {});
    EXPECT_EQ(word_of(refused), "not-allowed") << name;
    EXPECT_NE(refused.body.find("agonic key add"), std::string::npos) << name;
    World here = make();
    for (const NamedText& foreign : {NamedText{"X-Forwarded-For", "10.0.0.1"}, NamedText{"Forwarded", "for=10.0.0.1"},
                                     NamedText{"Via", "1.1 p"}, NamedText{"X-Real-IP", "10.0.0.1"},
                                     NamedText{"Origin", "https://elsewhere.example"}, NamedText{"Origin", "null"},
                                     NamedText{"host", "rebound.example:8080"}, NamedText{"host", "127.0.0.1.example"}})
      EXPECT_EQ(word_of(send(here, method, probe, {}, {foreign})), "not-allowed") << name << ' ' << foreign.second;
    EXPECT_NE(word_of(send(here, method, probe, {}, {{"Origin", "http://localhost:8080"}})), "not-allowed") << name;
  });
}

TEST_F(AccessTest, AKeyOpensWhatItsScopeSaysAndNothingElse) {
  each_call([&](const std::string& name, const std::string& method, const Probe& probe) {
    World world = make();
    const std::string write = key_for(world, "alpha"), read = key_for(world, "alpha", "read");
    call(world, "POST", "/v1/instruments", write, kNew);
    const auto allowed = [&](const std::string& key) {
      const std::string word = word_of(send(world, method, probe, key));
      return word != "not-allowed" && word != "key-missing";
    };
    EXPECT_TRUE(allowed(world.operator_key) == (probe.need == Need::operate)) << name;
    EXPECT_TRUE(allowed(read) == (probe.need == Need::read)) << name;
    EXPECT_TRUE(allowed(write) == (probe.need != Need::operate)) << name;
    std::string near = write;
    near.back() = near.back() == 'A' ? 'B' : 'A';
    for (const std::string& wrong : {near, write + "A", write.substr(1), std::string("agonic_"), std::string(5000, 'a'),
                                     digest_of(write), std::string("' OR '1'='1")})
      EXPECT_EQ(word_of(send(world, method, probe, wrong)), "key-missing") << name << ' ' << wrong.substr(0, 60);
    EXPECT_EQ(word_of(send(world, method, probe, {}, {{"authorization", "Basic " + write}})), "key-missing") << name;
    EXPECT_EQ(word_of(send(world, method, probe, write, {{"authorization", "Bearer " + write}})), "key-missing")
        << name;
  });
}

TEST_F(AccessTest, TwoKeysOfATeamLiveAtOnceSoThatOneCanBeReplaced) {
  World world = make();
  const std::string old = key_for(world, "alpha"), fresh = key_for(world, "alpha");
  EXPECT_NE(old, fresh);
  call(world, "POST", "/v1/instruments", old, kNew);
  EXPECT_EQ(call(world, "GET", "/v1/instruments/A-1", fresh).status, 200);
  EXPECT_EQ(call(world, "DELETE", "/v1/keys/" + world.registry->keys()[0].id, world.operator_key).status, 204);
  const std::string first_revoked = world.registry->key_of(digest_of(old)) ? fresh : old;
  EXPECT_EQ(call(world, "GET", "/v1/instruments/A-1", first_revoked).status, 401);
  EXPECT_EQ(call(world, "GET", "/v1/instruments/A-1", first_revoked == old ? fresh : old).status, 200);
}

TEST_F(AccessTest, AKeyIs256RandomBitsAndNeverComesBackOrReachesTheLog) {
  World world = make();
  const Response response = call(world, "POST", "/v1/keys", world.operator_key, R"({"team":"alpha","name":"n"})");
  ASSERT_EQ(response.status, 201);
  const std::string key = nlohmann::json::parse(response.body).at("key");
  EXPECT_TRUE(key.starts_with("agonic_"));
  EXPECT_EQ(key.size(), 7u + 43u);  // 256 bits at 6 a letter (RFC 4648, without padding)
  EXPECT_EQ(key.substr(7).find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"),
            std::string::npos);
  call(world, "GET", "/v1/instruments", key);
  call(world, "GET", "/v1/instruments?key=" + key);
  for (const char* target : {"/v1/keys", "/v1/registry/backup"})
    EXPECT_EQ(whole(call(world, "GET", target, world.operator_key)).find(key), std::string::npos) << target;
  EXPECT_EQ(log_text.str().find("agonic_"), std::string::npos);
  EXPECT_EQ(log_text.str().find("A-1"), std::string::npos);
}

TEST_F(AccessTest, NoPageOfAnotherOriginReadsARecord) {
  World world = make();
  each_call([&](const std::string& name, const std::string& method, const Probe& probe) {
    EXPECT_EQ(header(send(world, method, probe, {}), "Access-Control-Allow-Origin"), "") << name;
    const Response preflight = call(world, "OPTIONS", probe.target.substr(0, probe.target.find('?')));
    EXPECT_EQ(preflight.status, 204) << name;
    EXPECT_EQ(header(preflight, "Access-Control-Allow-Origin"), "") << name;
    EXPECT_NE(header(preflight, "Allow").find(method), std::string::npos) << name;
  });
}

TEST_F(AccessTest, CallsBeyondAKeysShareAre429AndOthersGoOn) {
  Config small = loopback();
  small.registry_rate = 3;
  World world = make(small);
  const std::string alpha = key_for(world, "alpha"), beta = key_for(world, "beta");
  Response response = call(world, "GET", "/v1/instruments", alpha);
  EXPECT_EQ(header(response, "RateLimit-Policy"), "\"default\";q=3;w=60");
  EXPECT_EQ(header(response, "RateLimit"), "\"default\";r=2;t=20");
  call(world, "GET", "/v1/instruments", alpha);
  call(world, "GET", "/v1/instruments", alpha);
  response = call(world, "GET", "/v1/instruments", alpha);
  EXPECT_EQ(word_of(response), "too-many-requests");
  EXPECT_EQ(response.status, 429);
  EXPECT_EQ(header(response, "Retry-After"), "20");
  EXPECT_EQ(call(world, "GET", "/v1/instruments", beta).status, 200);
}

TEST(RateLimitTest, ABucketFillsAgainWithTime) {
  RateLimit limit(60);
  const RateLimit::Time start{};
  for (int i = 0; i < 60; ++i) ASSERT_TRUE(limit.take("a", start).granted);
  EXPECT_FALSE(limit.take("a", start).granted);
  EXPECT_EQ(limit.take("a", start).retry_in_s, 1);
  EXPECT_TRUE(limit.take("a", start + std::chrono::seconds(1)).granted);
  EXPECT_FALSE(limit.take("a", start + std::chrono::seconds(1)).granted);
  EXPECT_EQ(limit.take("a", start + std::chrono::hours(1)).left, 59u);
}

TEST(LoopbackTest, NamesOfThisMachineAndNoOthers) {
  for (const char* own : {"localhost", "LOCALHOST:80", "127.0.0.1", "127.8.9.10:8080", "[::1]", "[::1]:8080", "::1"})
    EXPECT_TRUE(is_loopback_host(own)) << own;
  for (const char* other : {"", "0.0.0.0", "127.0.0.1.example", "localhost.example", "10.0.0.1", "[::2]", "127.1",
                            "1270.0.0.1", "::", "[::1", "a127.0.0.1"})
    EXPECT_FALSE(is_loopback_host(other)) << other;
}

}  // namespace
}  // namespace agonic::server::registry
