#include "server/problem_response.hpp"

#include <charconv>
#include <nlohmann/json.hpp>
#include <optional>

#include "model/units/number.hpp"

namespace agonic::server {
namespace {

Response with_kind(const ErrorKind& kind, std::string detail, std::string field, std::string remedy) {
  Response response;
  response.status = kind.status;
  response.refusal = Refusal{&kind, std::move(detail), std::move(field), std::move(remedy)};
  return response;
}

// A problem of a whole file names its line, as "line 12", where others name a field.
std::optional<std::uint64_t> line_of(std::string_view field) {
  if (!field.starts_with("line ")) return std::nullopt;
  std::uint64_t line = 0;
  const char* const end = field.data() + field.size();
  const auto [stop, error] = std::from_chars(field.data() + 5, end, line);
  return error == std::errc() && stop == end ? std::optional(line) : std::nullopt;
}

}  // namespace

Response refuse(const Problem& problem) {
  std::string detail = printable(problem.field);
  if (!problem.value.empty()) detail += (detail.empty() ? "'" : " '") + printable(problem.value) + "'";
  if (!detail.empty()) detail += ": ";
  const ErrorKind& kind = error_kind(problem.code);
  std::string remedy = problem.remedy.empty() ? std::string(kind.explanation) : problem.remedy;
  return with_kind(kind, detail + problem.message, printable(problem.field), std::move(remedy));
}

Response refuse(HttpFault fault, std::string detail, std::string field) {
  const ErrorKind& kind = error_kind(fault);
  return with_kind(kind, std::move(detail), std::move(field), std::string(kind.explanation));
}

Response refuse_busy(std::string detail, int retry_after_s) {
  const ErrorKind& kind = error_kind(Code::overloaded);
  Response response = with_kind(kind, std::move(detail), {}, std::string(kind.explanation));
  return std::move(response.with("Retry-After", std::to_string(retry_after_s)));
}

std::string problem_json(const Refusal& refusal, std::string_view request_id) {
  nlohmann::ordered_json document;
  document["type"] = "/problems/" + std::string(refusal.kind->word);
  document["title"] = refusal.kind->title;
  document["status"] = refusal.kind->status;
  document["detail"] = refusal.detail;
  if (const std::optional<std::uint64_t> line = line_of(refusal.field)) {
    document["line"] = *line;
  } else if (!refusal.field.empty()) {
    document["field"] = refusal.field;
  }
  if (!refusal.remedy.empty()) document["remedy"] = refusal.remedy;
  if (!request_id.empty()) document["instance"] = "urn:agonic:request:" + std::string(request_id);
  return document.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

}  // namespace agonic::server
