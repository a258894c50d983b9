#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"

namespace agonic::server {

Response registry_dump(Call& call) {
  return registry_call(call, registry::Need::read, [&](registry::Registry& all, const registry::Principal& principal) {
    auto query = known_query(call, {});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    const auto records = all.list(principal.team);
    return registry_json(200, instrument::dump_json(records, registry::iso_seconds(call.service.now())));
  });
}

}  // namespace agonic::server
