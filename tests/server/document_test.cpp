// /v1/traverse, /v1/rotation and /v1/swing: formats in and out, limits; with a stub in place of the model.
#include "tests/server/service_fixture.hpp"

namespace agonic::server {
namespace {

TEST_F(ServiceTest, ADocumentGoesOutAsItCameInUnlessAskedOtherwise) {
  Response response = post_csv("/v1/traverse", "a");
  EXPECT_EQ(response.body, "text/csv>text/csv");
  EXPECT_EQ(response.content_type, "text/csv; charset=utf-8; header=present");
  EXPECT_EQ(header(response, "Agonic-Summary"), R"({"rows":2,"refused":1})");
  EXPECT_EQ(header(response, "Cache-Control"), "no-store");
  EXPECT_EQ(post_csv("/v1/rotation?f=text", "a").body, "text/csv>text/plain");
  EXPECT_EQ(post_json("/v1/rotation", "a").content_type, "application/json");
  const auto accepting = [&](const std::string& accept) {
    return ask("POST", "/v1/traverse", {{"Content-Type", "text/csv"}, {"Accept", accept}}, "a");
  };
  EXPECT_EQ(accepting("application/json, text/plain;q=0.5").body, "text/csv>application/json");
  EXPECT_EQ(accepting("*/*").body, "text/csv>text/csv");
  EXPECT_EQ(accepting("text/plain").body, "text/csv>text/plain");
  EXPECT_EQ(accepting("image/png").status, 406);
  EXPECT_EQ(post_csv("/v1/traverse?f=xml", "a").status, 400);
}

TEST_F(ServiceTest, ARouteComesInFourFormatsAndGoesOutInFour) {
  const auto sent = [&](const std::string& type, const std::string& target = "/v1/route") {
    return ask("POST", target, {{"Content-Type", type}}, "a");
  };
  EXPECT_EQ(sent("text/csv").body, "text/csv>text/csv");
  EXPECT_EQ(sent("application/json").body, "application/json>application/json");
  EXPECT_EQ(sent("application/geo+json").body, "application/geo+json>application/json");
  EXPECT_EQ(sent("application/gpx+xml").body, "application/gpx+xml>application/json");
  EXPECT_EQ(sent("application/xml").body, "application/gpx+xml>application/json");
  const Response svg = sent("text/csv", "/v1/route?legs=yes&f=svg");
  EXPECT_EQ(svg.body, "text/csv>image/svg+xml");
  EXPECT_EQ(svg.content_type, "image/svg+xml");
  EXPECT_EQ(engine.last.get("legs"), "yes");
  EXPECT_EQ(header(svg, "Agonic-Summary"), R"({"stops":3,"refused":1})");
  EXPECT_EQ(header(svg, "Cache-Control"), "no-store");
  EXPECT_EQ(sent("text/html").status, 415);
  EXPECT_EQ(header(sent("text/html"), "Accept-Post"),
            "text/csv, application/json, application/geo+json, application/gpx+xml");
  EXPECT_EQ(sent("text/csv", "/v1/route?f=pdf").status, 400);
  EXPECT_EQ(ask("POST", "/v1/route", {{"Content-Type", "text/csv"}, {"Accept", "audio/ogg"}}, "a").status, 406);
  EXPECT_EQ(problem_word(ask("POST", "/v1/route", {{"Content-Type", "text/csv"}}, "BAD")), "columns-missing");
  EXPECT_EQ(ask("POST", "/v1/route", {{"Content-Type", "text/csv"}}, std::string(1001, 'a')).status, 413);
  EXPECT_EQ(get("/v1/route").status, 405);
}

TEST_F(ServiceTest, ACardGoesOutAsHtmlPdfOrPng) {
  Response page = get("/v1/card?place=46.5+7.25&date=2026-06-15");
  EXPECT_EQ(page.body, "card as text/html");
  EXPECT_EQ(page.content_type, "text/html; charset=utf-8");
  EXPECT_NE(header(page, "Content-Security-Policy").find("default-src 'none'"), std::string::npos);
  EXPECT_NE(header(page, "Cache-Control").find("max-age=30"), std::string::npos) << "the day stands on it";
  EXPECT_EQ(get("/v1/card?place=46.5+7.25&date=2026-06-15", {{"If-None-Match", header(page, "ETag")}}).status, 304);
  EXPECT_EQ(get("/v1/card?place=46.5+7.25&date=2026-06-15&f=pdf", {{"If-None-Match", header(page, "ETag")}}).status,
            200);
  EXPECT_EQ(get("/v1/card?place=a&f=pdf").content_type, "application/pdf");
  EXPECT_EQ(get("/v1/card?place=a", {{"Accept", "image/png"}}).body, "card as image/png");
  EXPECT_EQ(get("/v1/card?place=a", {{"Accept", "image/gif"}}).status, 406);
  EXPECT_EQ(get("/v1/card?place=a&f=docx").status, 400);
  EXPECT_EQ(get("/v1/card?place=91+0").status, 422);
  EXPECT_EQ(header(get("/v1/card?place=a&instrument=x"), "Cache-Control"), "no-store") << "a team's own";
}

TEST_F(ServiceTest, APostedCardIsOfAPlaceOrOfARoute) {
  EXPECT_EQ(post_json("/v1/card?f=pdf", R"({"place":"46.5 7.25","date":"2026-06-15"})").body,
            "card as application/pdf");
  EXPECT_EQ(engine.last.get("place"), "46.5 7.25");
  EXPECT_EQ(post_json("/v1/card", R"( {"stops":[{"lat":1}]})").body, "application/json card as text/html");
  EXPECT_EQ(post_csv("/v1/card?legs=yes", "lat,lon\n").body, "text/csv card as text/html");
  EXPECT_EQ(engine.last.get("legs"), "yes");
  EXPECT_EQ(header(post_csv("/v1/card", "a"), "Cache-Control"), "no-store");
  EXPECT_EQ(post_json("/v1/card", "{").status, 400);
  EXPECT_EQ(ask("POST", "/v1/card", {{"Content-Type", "text/html"}}, "a").status, 415);
  EXPECT_EQ(post_csv("/v1/card", std::string(1001, 'a')).status, 413);
}

TEST_F(ServiceTest, PlainTextIsAnObservatorysFileAndNothingElse) {
  EXPECT_EQ(ask("POST", "/v1/swing?time=x", {{"Content-Type", "text/plain"}}, "a").body, "text/plain>text/plain");
  const Response response = ask("POST", "/v1/traverse", {{"Content-Type", "text/plain"}}, "a");
  EXPECT_EQ(response.status, 415);
  EXPECT_EQ(header(response, "Accept-Post"), "text/csv, application/json");
  EXPECT_EQ(ask("POST", "/v1/swing", {{"Content-Type", "application/pdf"}}, "a").status, 415);
  EXPECT_EQ(ask("POST", "/v1/swing", {{"Content-Type", "text/csv; charset=latin1"}}, "a").status, 415);
}

TEST_F(ServiceTest, TheQueryReachesTheEngineWithoutTheFormat) {
  post_csv("/v1/traverse?tolerance_deg=1&f=json", "a");
  EXPECT_EQ(engine.last.values.size(), 1u);
  EXPECT_EQ(engine.last.get("tolerance_deg"), "1");
  EXPECT_EQ(post_csv("/v1/traverse?tolerance_deg=1&tolerance_deg=2", "a").status, 400);
}

TEST_F(ServiceTest, ADocumentThatCannotBeWorkedIsAProblem) {
  const Response response = post_csv("/v1/traverse", "BAD");
  EXPECT_EQ(response.status, 400);
  EXPECT_EQ(problem_word(response), "columns-missing");
}

TEST_F(ServiceTest, ADocumentBeyondItsLimitIs413AndATruncatedOne400) {
  EXPECT_EQ(post_csv("/v1/traverse", std::string(1001, 'a')).status, 413);  // the fixture's max_upload is 1000
  EXPECT_EQ(post_csv("/v1/traverse", "a", BodyEnd::truncated).status, 400);
  EXPECT_EQ(post_csv("/v1/traverse", "a").status, 200) << "its slot is free again";
  EXPECT_EQ(get("/v1/traverse").status, 405);
}

TEST_F(ServiceTest, DocumentsCountAsBatchesAndTheirCoordinatesAreNotLogged) {
  {
    const Slots::Hold held = service->batches.take(std::chrono::milliseconds(0));
    EXPECT_EQ(post_csv("/v1/rotation", "a").status, 503);
  }
  log_text.str("");
  post_csv("/v1/swing?lat=42.28312&lon=-71.35", "a");
  EXPECT_EQ(log_text.str().find("42.28312"), std::string::npos);
  EXPECT_NE(log_text.str().find("/v1/swing"), std::string::npos);
}

}  // namespace
}  // namespace agonic::server
