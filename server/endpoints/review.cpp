#include <array>
#include <chrono>

#include "model/review/reviewer.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/negotiation.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

using review::Format;

constexpr std::chrono::milliseconds kWaitForSlot{500};
constexpr std::chrono::seconds kWaitForTurn{5};

// How the answer goes out; `f` is taken out of the parameters. Field "Accept" where no type will do.
Result<Format> wanted(const Request& request, Parameters& parameters) {
  if (const auto f = parameters.values.find("f"); f != parameters.values.end()) {
    const auto format = review::format_of_name(f->second);
    if (!format) return Problem{Code::unknown_name, "f", f->second, "no such format", "Use json, text or html."};
    parameters.values.erase(f);
    return *format;
  }
  constexpr std::array kFormats{Format::json, Format::text, Format::html};
  const std::array types{media_type(kFormats[0]), media_type(kFormats[1]), media_type(kFormats[2])};
  const auto chosen = negotiate(request.header("accept").value_or(""), types);
  if (!chosen) return Problem{Code::unknown_name, "Accept", {}, {}, {}};
  return kFormats[*chosen];
}

}  // namespace

Response review(Call& call) {
  Service& service = call.service;
  BatchRequest batch;
  if (auto refusal = add_query(call.request, batch.parameters)) return std::move(*refusal);
  const MediaType type = media_type_of(call.request.header("content-type").value_or(""));
  const auto in = type.name.find('/') == std::string::npos ? std::nullopt : exchange::format_of_name(type.name);
  if (!in || !type.utf8)
    return std::move(refuse(Problem{Code::unsupported_format,
                                    "Content-Type",
                                    {},
                                    "a data set comes as one of these, in UTF-8: " + std::string(kBatchTypes),
                                    "Declare the type of the body."})
                         .with("Accept-Post", std::string(kBatchTypes)));
  batch.in = *in;
  const auto out = wanted(call.request, batch.parameters);
  if (!out && out.problem().field == "Accept")
    return refuse(HttpFault::not_acceptable, "an answer goes out as application/json, text/plain or text/html",
                  "Accept");
  if (!out) return refuse(out.problem());
  batch.instruments = instruments_for(call);

  const Slots::Hold open = service.batches.take(kWaitForSlot);
  if (!open) return refuse_busy("too many batches are open", 5);
  // A review holds its file: few at a time.
  const Slots::Hold turn = service.documents.take(kWaitForTurn);
  if (!turn) return refuse_busy("too many documents at once", 2);
  auto created = service.engine.review(batch);
  if (!created) return refuse(created.problem());
  review::Reviewer& reviewer = **created;
  const std::uint64_t limit = std::min(review::kMostBytes, service.config.max_upload);
  std::optional<Problem> problem;
  const BodyEnd end = call.body.read(limit, [&](std::string_view piece) {
    problem = reviewer.feed(piece);
    return !problem;
  });
  call.rows = reviewer.rows();
  if (problem) return refuse(*problem);
  if (auto refusal = body_refusal(end, limit)) return std::move(*refusal);
  const auto report = reviewer.finish();
  if (!report) return refuse(report.problem());
  call.rows_refused = report->notebook.refused;
  Response response;
  response.content_type = std::string(media_type(*out)) + (*out == Format::json ? "" : "; charset=utf-8");
  response.body = write(*report, *out);
  if (*out == Format::html)
    response.with("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'");
  return std::move(
      response.with("Agonic-Summary", summary_json(*report)).with("Cache-Control", "no-store").with("Vary", "Accept"));
}

}  // namespace agonic::server
