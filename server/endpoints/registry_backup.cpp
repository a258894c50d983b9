#include "server/digest.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"

namespace agonic::server {

Response registry_backup(Call& call) {
  return registry_call(call, registry::Need::operate, [&](registry::Registry& all, const registry::Principal&) {
    auto query = known_query(call, {});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    Response response;
    response.content_type = "application/vnd.sqlite3";  // registered with IANA
    response.body = all.backup();
    response.with("Agonic-Sha256", sha256_hex(response.body))
        .with("Content-Disposition", "attachment; filename=\"registry.sqlite\"");
    return response;
  });
}

}  // namespace agonic::server
