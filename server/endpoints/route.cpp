#include <algorithm>
#include <array>
#include <chrono>

#include "server/endpoints/endpoints.hpp"
#include "server/negotiation.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

using route::FormatIn;
using route::FormatOut;

constexpr std::chrono::milliseconds kWaitForSlot{500};
constexpr std::chrono::milliseconds kWaitForTurn{5000};
constexpr std::string_view kTypes = "text/csv, application/json, application/geo+json, application/gpx+xml";

// What comes out where nobody says: CSV of CSV, JSON of all else.
std::array<FormatOut, 4> in_order(FormatIn in) {
  if (in == FormatIn::csv) return {FormatOut::csv, FormatOut::json, FormatOut::text, FormatOut::svg};
  return {FormatOut::json, FormatOut::csv, FormatOut::text, FormatOut::svg};
}

std::string content_type(FormatOut format) {
  const std::string type(media_type(format));
  if (format == FormatOut::csv) return type + "; charset=utf-8; header=present";
  return format == FormatOut::text ? type + "; charset=utf-8" : type;
}

}  // namespace

Response route(Call& call) {
  Service& service = call.service;
  route::Request request;
  if (auto refusal = add_query(call.request, request.parameters)) return std::move(*refusal);
  const MediaType type = media_type_of(call.request.header("content-type").value_or(""));
  const auto in = type.name.find('/') == std::string::npos ? std::nullopt : route::format_in_of_name(type.name);
  if (!in || !type.utf8)
    return std::move(refuse(Problem{Code::unsupported_format,
                                    "Content-Type",
                                    {},
                                    "a route comes as one of these, in UTF-8: " + std::string(kTypes),
                                    "Declare the type of the body."})
                         .with("Accept-Post", std::string(kTypes)));
  request.in = *in;
  if (const auto wanted = request.parameters.values.find("f"); wanted != request.parameters.values.end()) {
    const auto out = route::format_out_of_name(wanted->second);
    if (!out)
      return refuse(Problem{Code::unknown_name, "f", wanted->second, "no such format", "Use csv, json, text or svg."});
    request.out = *out;
    request.parameters.values.erase(wanted);
  } else {
    const auto formats = in_order(*in);
    std::array<std::string_view, formats.size()> types;
    std::transform(formats.begin(), formats.end(), types.begin(), [](FormatOut f) { return route::media_type(f); });
    const auto chosen = negotiate(call.request.header("accept").value_or(""), types);
    if (!chosen)
      return refuse(HttpFault::not_acceptable,
                    "an answer goes out as text/csv, application/json, text/plain or image/svg+xml", "Accept");
    request.out = formats[*chosen];
  }

  const Slots::Hold open = service.batches.take(kWaitForSlot);
  if (!open) return refuse_busy("too many batches are open", 5);
  const std::uint64_t limit = std::min(route::kMostBytes, service.config.max_upload);
  std::string body;
  const BodyEnd end = call.body.read(limit, [&](std::string_view piece) {
    body.append(piece);
    return true;
  });
  if (auto refusal = body_refusal(end, limit)) return std::move(*refusal);
  const Slots::Hold turn = service.documents.take(kWaitForTurn);
  if (!turn) return refuse_busy("too many documents at once", 2);
  request.body = body;
  const FormatOut out = request.out;
  Result<route::Answer> answer = service.engine.route(std::move(request));
  if (!answer) return refuse(answer.problem());
  call.rows = answer->stops;
  call.rows_refused = answer->refused;
  Response response;
  response.content_type = content_type(out);
  response.body = std::move(answer->body);
  return std::move(
      response.with("Agonic-Summary", answer->summary_json).with("Cache-Control", "no-store").with("Vary", "Accept"));
}

}  // namespace agonic::server
