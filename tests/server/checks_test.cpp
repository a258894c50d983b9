// The catalogue of codes through the service, and the service's own refusals held to it.
#include <set>

#include "model/checks/catalogue.hpp"
#include "tests/server/service_fixture.hpp"

namespace agonic::server {
namespace {

class ChecksTest : public ServiceTest {
 protected:
  const std::vector<NamedText> browser{{"Accept", "text/html,application/xhtml+xml,*/*;q=0.8"}};
};

TEST_F(ChecksTest, EveryRefusalOfTheServiceHasAPageAndNoOtherIsPromised) {
  std::set<std::string_view> words;
  for (const ErrorKind& kind : error_table()) {
    words.insert(kind.word);
    const checks::Entry* entry = checks::find(kind.word);
    ASSERT_NE(entry, nullptr) << kind.word;
    EXPECT_EQ(entry->kind, checks::Kind::stop) << kind.word;
  }
  for (const checks::Entry& entry : checks::catalogue()) {
    const bool stops_a_call = entry.kind == checks::Kind::stop && entry.where != at(checks::Where::traverse);
    if (stops_a_call || entry.where == at(checks::Where::service)) {
      EXPECT_TRUE(words.contains(entry.code)) << entry.code;
    }
  }
}

TEST_F(ChecksTest, PagesNeedNoScriptAndNothingFromElsewhere) {
  for (const checks::Entry& entry : checks::catalogue()) {
    const Response page = get("/checks/" + std::string(entry.code), browser);
    ASSERT_EQ(page.status, 200) << entry.code;
    EXPECT_EQ(page.content_type, "text/html; charset=utf-8");
    EXPECT_NE(page.body.find("<h1>" + std::string(entry.code) + "</h1>"), std::string::npos);
    EXPECT_NE(page.body.find("What to do"), std::string::npos);
    for (const char* never : {"<script", "http://", "https://", "<img", "style=\""})
      EXPECT_EQ(page.body.find(never), std::string::npos) << entry.code << ": " << never;
    const std::string policy = header(page, "Content-Security-Policy");
    EXPECT_NE(policy.find("default-src 'none'"), std::string::npos);
    EXPECT_EQ(policy.find("unsafe"), std::string::npos);
  }
  const std::string index = get("/checks", browser).body;
  for (const checks::Entry& entry : checks::catalogue())
    EXPECT_NE(index.find("href=\"/checks/" + std::string(entry.code) + "\""), std::string::npos) << entry.code;
}

TEST_F(ChecksTest, ProgramsGetJsonUnlessTheyWantAPage) {
  const Response one = get("/checks/setting-stale");
  EXPECT_EQ(one.content_type, "application/json");
  const auto json = nlohmann::json::parse(one.body);
  EXPECT_EQ(json["kind"], "warn");
  EXPECT_EQ(json["thresholds"][0]["value"], 0.5);
  EXPECT_EQ(nlohmann::json::parse(get("/checks").body)["checks"].size(), checks::catalogue().size());
  EXPECT_EQ(get("/checks", {{"Accept", "image/gif"}}).status, 406);
  EXPECT_EQ(get("/checks/setting-stale", {{"Accept", "text/html"}}).content_type, "text/html; charset=utf-8");
}

TEST_F(ChecksTest, AnswersAreCachedByTypeAndEndInAHint) {
  const Response page = get("/checks/setting-stale", browser);
  EXPECT_EQ(header(page, "Vary"), "Accept");
  EXPECT_EQ(header(page, "Cache-Control"), "public, max-age=86400");
  const std::string tag = header(page, "ETag");
  EXPECT_NE(tag, header(get("/checks/setting-stale"), "ETag"));
  EXPECT_EQ(get("/checks/setting-stale", {browser[0], {"If-None-Match", tag}}).status, 304);
  EXPECT_EQ(get("/checks/seting-stale").status, 404);
  EXPECT_NE(get("/checks/seting-stale").body.find("Did you mean /checks/setting-stale?"), std::string::npos);
  EXPECT_EQ(get("/checks/%3Cscript%3E", browser).body.find("<script>"), std::string::npos);
  EXPECT_EQ(ask("POST", "/checks").status, 405);
}

TEST_F(ChecksTest, AProblemsTypeIsAPageInABrowser) {
  const Response page = get("/problems/date-missing", browser);
  EXPECT_EQ(page.content_type, "text/html; charset=utf-8");
  EXPECT_NE(page.body.find("Date is missing"), std::string::npos);
  EXPECT_NE(page.body.find("HTTP status 400"), std::string::npos);
  EXPECT_EQ(nlohmann::json::parse(get("/problems/date-missing").body)["check"], "/checks/date-missing");
}

}  // namespace
}  // namespace agonic::server
