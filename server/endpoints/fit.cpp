#include <chrono>
#include <variant>

#include "model/sightings/table.hpp"
#include "model/units/number.hpp"
#include "model/units/yes.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
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

std::string take_out(Parameters& parameters, std::string_view name) {
  const auto at = parameters.values.find(name);
  if (at == parameters.values.end()) return {};
  std::string value = std::move(at->second);
  parameters.values.erase(at);
  return value;
}

// Keeps what was found as new versions of the record of `id`; a refusal, or the JSON of what was kept.
std::variant<std::string, Response> keep(const FitAnswer& answer, const std::string& id, registry::Registry& registry,
                                         const registry::Principal& who) {
  const FitAnswer::Found* found = nullptr;
  for (const FitAnswer::Found& one : answer.found)
    if (one.instrument == id || (answer.found.size() == 1 && one.instrument.empty())) found = &one;
  if (found == nullptr)
    return refuse(Problem{Code::contradiction, "store", id, "the sightings are not of this instrument",
                          "Name the instrument that stands in them, or leave store out"});
  if (!found->proposals) return refuse(found->proposals.problem());
  if (!registry.find(who.team, id)) return no_such_instrument();
  std::string kept;
  for (const instrument::Proposal& proposal : *found->proposals) {
    const registry::Outcome outcome = registry.change({who.team, who.who}, id, proposal, std::nullopt, {});
    if (outcome.kind != registry::Outcome::Kind::done) return answer_of(outcome);
    kept = outcome.body;
  }
  return kept;
}

Response answer_with(FitAnswer& answer, const Wanted& as) {
  Response response;
  response.content_type = as.text ? "text/plain; charset=utf-8" : "application/json";
  response.body = std::move(!as.text ? answer.json : as.all ? answer.text_all : answer.text);
  return std::move(response
                       .with("Agonic-Summary", "{\"sightings\":" + std::to_string(answer.sightings) +
                                                   ",\"refused\":" + std::to_string(answer.refused) +
                                                   ",\"left_out\":" + std::to_string(answer.left_out) + "}")
                       .with("Cache-Control", "no-store"));
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
  const std::string store = take_out(parameters, "store"), why = take_out(parameters, "why");
  if (auto problem = why.empty() ? std::nullopt : instrument::check_text("why", why, false)) return refuse(*problem);
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
  Result<FitAnswer> answer = call.service.engine.fit(json, body, parameters, why);
  if (!answer) return refuse(answer.problem());
  call.rows = answer->sightings;
  call.rows_refused = answer->refused;
  if (store.empty()) return answer_with(*answer, *as);
  return registry_call(call, registry::Need::write, [&](registry::Registry& registry, const registry::Principal& who) {
    auto kept = keep(*answer, store, registry, who);
    if (auto* refusal = std::get_if<Response>(&kept)) return std::move(*refusal);
    // The record as it stands now, as a last member of the report.
    answer->json.insert(answer->json.rfind('}'), ",\"stored\":" + std::get<std::string>(kept));
    for (std::string* text : {&answer->text, &answer->text_all}) *text += "Kept in the record of " + store + ".\n";
    return answer_with(*answer, *as);
  });
}

}  // namespace agonic::server
