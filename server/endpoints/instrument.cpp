#include "model/units/yes.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {

Response instrument_record(Call& call) {
  return registry_call(call, registry::Need::read, [&](registry::Registry& all, const registry::Principal& principal) {
    const registry::RecordPointer record = all.find(principal.team, call.name);
    if (!record) return no_such_instrument();
    auto query = known_query(call, {"history", "date"});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    const auto& parameters = std::get<Parameters>(query);
    const auto history = parse_yes(parameters.get("history").value_or(""), "history");
    if (!history) return refuse(history.problem());
    instrument::RecordView view{*history, nullptr, {}, {}};
    std::optional<instrument::InForce> held;
    if (const auto given = parameters.get("date")) {
      const auto date = parse_date(*given, {std::chrono::floor<std::chrono::days>(call.service.now())});
      if (!date) return refuse(date.problem());
      view.date = date->iso;
      if (auto found = instrument::in_force(*record, *date)) {
        held = std::move(found).value();
        view.held = &*held;
      } else {
        view.not_held = found.problem().message;
      }
    }
    Response response = registry_json(200, instrument::record_json(*record, view));
    return std::move(response.with("ETag", registry::version_tag(record->version)));
  });
}

Response change_instrument(Call& call) { return change_of(call, instrument::ChangeKind::description, true); }

}  // namespace agonic::server
