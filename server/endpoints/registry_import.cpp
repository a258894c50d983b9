#include <nlohmann/json.hpp>

#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/parameters.hpp"

namespace agonic::server {

Response registry_import(Call& call) {
  return registry_call(call, registry::Need::write, [&](registry::Registry& all, const registry::Principal& principal) {
    auto query = known_query(call, {});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    auto body = read_json_body(call.request, call.body, kImportMax);
    if (auto* refusal = std::get_if<Response>(&body)) return std::move(*refusal);
    auto dump = instrument::read_dump(std::get<std::string>(body));
    if (!dump) return refuse_body(dump.problem());
    const auto imported = all.import({principal.team, principal.who}, dump->records);
    const std::vector<Problem>& refused = dump->refused;
    nlohmann::ordered_json out{{"imported", imported.done}, {"refused", nlohmann::ordered_json::array()}};
    for (const std::vector<Problem>* problems : {&refused, &imported.refused})
      for (const Problem& problem : *problems)
        out["refused"].push_back({{"instrument", problem.field},
                                  {"code", word(problem.code)},
                                  {"detail", problem.message},
                                  {"remedy", problem.remedy}});
    return registry_json(200, out.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace));
  });
}

}  // namespace agonic::server
