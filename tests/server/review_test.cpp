// /v1/review: formats, refusals and logs, with a stub in place of the model.
#include "tests/server/service_fixture.hpp"

namespace agonic::server {
namespace {

TEST_F(ServiceTest, AReviewThatCannotBeginIsAProblem) {
  const Response response = post_csv("/v1/review?set_declination=0&f=text", "a");
  EXPECT_EQ(response.status, 400);
  EXPECT_EQ(problem_word(response), "columns-missing");
  EXPECT_EQ(engine.last.values.size(), 1u) << "the format is no default of a column";
  EXPECT_EQ(post_csv("/v1/review?f=csv", "a").status, 400);
  EXPECT_EQ(ask("POST", "/v1/review", {{"Content-Type", "text/csv"}, {"Accept", "image/png"}}, "a").status, 406);
  EXPECT_EQ(ask("POST", "/v1/review", {{"Content-Type", "text/html"}}, "a").status, 415);
  EXPECT_EQ(get("/v1/review").status, 405);
}

TEST_F(ServiceTest, AReviewTakesItsTurnAndLogsNoCoordinate) {
  {
    const Slots::Hold held = service->batches.take(std::chrono::milliseconds(0));
    EXPECT_EQ(post_csv("/v1/review", "a").status, 503);
  }
  log_text.str("");
  post_csv("/v1/review?lat=42.28312&lon=-71.35", "a");
  EXPECT_EQ(log_text.str().find("42.28"), std::string::npos);
  EXPECT_NE(log_text.str().find("/v1/review"), std::string::npos);
}

}  // namespace
}  // namespace agonic::server
