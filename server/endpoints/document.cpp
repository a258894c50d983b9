#include "server/endpoints/document.hpp"

#include <algorithm>
#include <array>
#include <chrono>

#include "server/negotiation.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

using desk::Format;

constexpr std::chrono::milliseconds kWaitForSlot{500};

std::string accepted(desk::Job job) {
  return job == desk::Job::swing ? "text/plain, application/json, text/csv" : "text/csv, application/json";
}

}  // namespace

Response answer_document(Call& call, desk::Job job) {
  Service& service = call.service;
  desk::Request request;
  if (auto refusal = add_query(call.request, request.parameters)) return std::move(*refusal);
  const MediaType type = media_type_of(call.request.header("content-type").value_or(""));
  const auto in = type.name.find('/') == std::string::npos ? std::nullopt : desk::format_of_name(type.name);
  if (!in || !type.utf8 || (*in == Format::text && job != desk::Job::swing))
    return std::move(refuse(Problem{Code::unsupported_format,
                                    "Content-Type",
                                    {},
                                    "the document comes as one of these, in UTF-8: " + accepted(job),
                                    "Declare the type of the body."})
                         .with("Accept-Post", accepted(job)));
  request.in = *in;
  if (const auto wanted = request.parameters.values.find("f"); wanted != request.parameters.values.end()) {
    const auto out = desk::format_of_name(wanted->second);
    if (!out)
      return refuse(Problem{Code::unknown_name, "f", wanted->second, "no such format", "Use csv, json or text."});
    request.out = *out;
    request.parameters.values.erase(wanted);
  } else {
    const std::array formats{*in, Format::json, Format::csv, Format::text};
    std::array<std::string_view, formats.size()> types;
    std::transform(formats.begin(), formats.end(), types.begin(), desk::media_type);
    const auto chosen = negotiate(call.request.header("accept").value_or(""), types);
    if (!chosen)
      return refuse(HttpFault::not_acceptable, "an answer goes out as text/csv, application/json or text/plain",
                    "Accept");
    request.out = formats[*chosen];
  }

  const Slots::Hold open = service.batches.take(kWaitForSlot);
  if (!open) return refuse_busy("too many batches are open", 5);
  const std::uint64_t limit = std::min(desk::kMostBytes, service.config.max_upload);
  std::string body;
  const BodyEnd end = call.body.read(limit, [&](std::string_view piece) {
    body.append(piece);
    return true;
  });
  if (auto refusal = body_refusal(end, limit)) return std::move(*refusal);
  request.body = body;
  const Format out = request.out;
  Result<desk::Answer> answer = service.engine.work(job, std::move(request));
  if (!answer) return refuse(answer.problem());
  call.rows = answer->rows;
  call.rows_refused = answer->refused;
  Response response;
  response.content_type = std::string(desk::media_type(out)) + (out == Format::json  ? ""
                                                                : out == Format::csv ? "; charset=utf-8; header=present"
                                                                                     : "; charset=utf-8");
  response.body = std::move(answer->body);
  return std::move(
      response.with("Agonic-Summary", answer->summary_json).with("Cache-Control", "no-store").with("Vary", "Accept"));
}

}  // namespace agonic::server
