#include <chrono>

#include "model/sightings/table.hpp"
#include "model/units/number.hpp"
#include "model/units/yes.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

constexpr std::chrono::seconds kWaitForTurn{5};

constexpr std::chrono::milliseconds kWaitForSlot{500};
constexpr std::string_view kTypes = "text/csv, application/json";

// How the answer goes out; taken out of the parameters.
struct Wanted {
  bool text = false, all = false;
};
Result<Wanted> wanted(const Request& request, Parameters& parameters) {
  const std::string accept = lower(request.header("accept").value_or(""));
  const auto accepts = [&](std::string_view type) { return accept.find(type) != std::string::npos; };
  const bool json = accept.empty() || accepts("application/json") || accepts("application/*") || accepts("*/*");
  Wanted out;
  out.text = !json && (accepts("text/plain") || accepts("text/*"));
  if (const auto f = parameters.values.find("f"); f != parameters.values.end()) {
    if (f->second != "json" && f->second != "text")
      return Problem{Code::unknown_name, "f", f->second, "no such format", "Use json or text."};
    out.text = f->second == "text";
    parameters.values.erase(f);
  } else if (!json && !out.text) {
    return Problem{Code::unknown_name, "Accept", {}, {}, {}};
  }
  if (const auto all = parameters.values.find("all"); all != parameters.values.end()) {
    const auto yes = parse_yes(all->second, "all");
    if (!yes) return yes.problem();
    out.all = *yes;
    parameters.values.erase(all);
  }
  return out;
}

}  // namespace

Response fit(Call& call) {
  Parameters parameters;
  if (auto refusal = add_query(call.request, parameters)) return std::move(*refusal);
  const MediaType type = media_type_of(call.request.header("content-type").value_or(""));
  const bool json = type.name == "application/json";
  if ((!json && type.name != "text/csv") || !type.utf8)
    return std::move(refuse(Problem{Code::unsupported_format,
                                    "Content-Type",
                                    {},
                                    "sightings come as one of these, in UTF-8: " + std::string(kTypes),
                                    "Declare the type of the body."})
                         .with("Accept-Post", std::string(kTypes)));
  const Result<Wanted> as = wanted(call.request, parameters);
  if (!as) {
    if (as.problem().field == "Accept")
      return refuse(HttpFault::not_acceptable, "the answer goes out as application/json or text/plain", "Accept");
    return refuse(as.problem());
  }
  const Slots::Hold open = call.service.batches.take(kWaitForSlot);
  if (!open) return refuse_busy("too many batches are open", 5);
  std::string body;
  const BodyEnd end = call.body.read(sightings::kMostBytes, [&](std::string_view piece) {
    body.append(piece);
    return true;
  });
  if (auto refusal = body_refusal(end, sightings::kMostBytes)) return std::move(*refusal);
  const Slots::Hold turn = call.service.documents.take(kWaitForTurn);
  if (!turn) return refuse_busy("too many fits at once", 2);
  Result<FitAnswer> answer = call.service.engine.fit(json, body, parameters);
  if (!answer) return refuse(answer.problem());
  call.rows = answer->sightings;
  call.rows_refused = answer->refused;
  Response response;
  response.content_type = as->text ? "text/plain; charset=utf-8" : "application/json";
  response.body = std::move(!as->text ? answer->json : as->all ? answer->text_all : answer->text);
  return std::move(response
                       .with("Agonic-Summary", "{\"sightings\":" + std::to_string(answer->sightings) +
                                                   ",\"refused\":" + std::to_string(answer->refused) +
                                                   ",\"left_out\":" + std::to_string(answer->left_out) + "}")
                       .with("Cache-Control", "no-store"));
}

}  // namespace agonic::server
