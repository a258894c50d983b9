#include <algorithm>
#include <chrono>

#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/negotiation.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"
#include "server/spool.hpp"

namespace agonic::server {
namespace {

using exchange::Format;

constexpr std::chrono::milliseconds kWaitForSlot{500};
constexpr std::size_t kRefusedNamed = 20;        // as many as the command names
constexpr std::size_t kSummaryHeaderMax = 4096;  // what every proxy takes

struct Formats {
  Format in, out;
};

Result<Formats> formats(const Request& request, Parameters& parameters) {
  const MediaType type = media_type_of(request.header("content-type").value_or(""));
  const std::optional<Format> in =
      type.name.find('/') == std::string::npos ? std::nullopt : exchange::format_of_name(type.name);
  if (!in || !type.utf8)
    return Problem{Code::unsupported_format,
                   "Content-Type",
                   {},
                   "a batch comes as one of these, in UTF-8: " + std::string(kBatchTypes),
                   "Declare the type of the body."};
  if (const auto wanted = parameters.values.find("f"); wanted != parameters.values.end()) {
    const std::optional<Format> out = exchange::format_of_name(wanted->second);
    if (!out)
      return Problem{Code::unknown_name, "f", wanted->second, "no such format", "Use csv, json, ndjson or geojson."};
    parameters.values.erase(wanted);
    return Formats{*in, *out};
  }
  const std::optional<Format> out = negotiate(request.header("accept").value_or(""), *in);
  if (!out) return Problem{Code::unknown_name, "Accept", {}, {}, {}};
  return Formats{*in, *out};
}

// A header holds plain ASCII of bounded length; the counts always fit.
std::string summary_header(exchange::Summary summary) {
  std::string text = exchange::to_json(summary);
  const bool plain = std::all_of(text.begin(), text.end(), [](char c) { return c >= 0x20 && c < 0x7f; });
  if (plain && text.size() <= kSummaryHeaderMax) return text;
  // Which lines, and why in a word; the rows themselves carry the rest.
  if (summary.first_refused.size() > kRefusedNamed) summary.first_refused.resize(kRefusedNamed);
  for (exchange::RefusedRow& row : summary.first_refused) row.problem = Problem{row.problem.code, {}, {}, {}, {}};
  return exchange::to_json(summary);
}

Response spool_refusal(const SpoolFull& full) {
  if (full.reason() == SpoolFull::Reason::storage)
    return refuse(HttpFault::storage_full, "the service has no space left for the result");
  return refuse(Problem{Code::too_large, {}, {}, "the result is longer than the service keeps", "Send it in parts."});
}

}  // namespace

Response correct(Call& call) {
  Service& service = call.service;
  Parameters parameters;
  if (auto refusal = add_query(call.request, parameters)) return std::move(*refusal);
  const Result<Formats> chosen = formats(call.request, parameters);
  if (!chosen) {
    if (chosen.problem().field == "Accept")
      return refuse(HttpFault::not_acceptable, "a batch goes out as one of " + std::string(kBatchTypes), "Accept");
    return std::move(refuse(chosen.problem()).with("Accept-Post", std::string(kBatchTypes)));
  }
  const Slots::Hold open = service.batches.take(kWaitForSlot);
  if (!open) return refuse_busy("too many batches are open", 5);

  const auto spool = std::make_shared<Spool>(service.config.max_result);
  try {
    const bool gzip = accepts_gzip(call.request.header("accept-encoding").value_or(""));
    auto created =
        service.engine.correct({chosen->in, chosen->out, gzip, std::move(parameters), instruments_for(call)}, *spool);
    if (!created) return refuse(created.problem());
    exchange::BatchCorrector& batch = **created;

    std::optional<Problem> problem;
    const BodyEnd end = call.body.read(service.config.max_upload, [&](std::string_view piece) {
      problem = batch.feed(piece);
      return !problem;
    });
    call.rows = batch.rows();
    if (problem) return refuse(*problem);
    if (auto refusal = body_refusal(end, service.config.max_upload)) return std::move(*refusal);

    const Result<exchange::Summary> summary = batch.finish();
    if (!summary) return refuse(summary.problem());
    call.rows = summary->rows;
    call.rows_refused = summary->refused;
    Response response;
    response.content_type = std::string(content_type(chosen->out));
    response.source = spool;
    if (gzip) response.with("Content-Encoding", "gzip");
    return std::move(response.with("Agonic-Summary", summary_header(*summary))
                         .with("Cache-Control", "no-store")
                         .with("Vary", "Accept, Accept-Encoding"));
  } catch (const SpoolFull& full) {
    return spool_refusal(full);
  }
}

}  // namespace agonic::server
