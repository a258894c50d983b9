#include "server/endpoints/endpoints.hpp"
#include "server/registry/registry.hpp"

namespace agonic::server {
namespace {

Response state(int status, std::string text) {
  Response response;
  response.status = status;
  response.content_type = "application/json";
  response.body = std::move(text);
  return std::move(response.with("Cache-Control", "no-store"));
}

}  // namespace

Response healthz(Call&) { return state(200, R"({"status":"alive"})"); }

Response readyz(Call& call) {
  if (call.service.draining()) return state(503, R"({"status":"stopping","reason":"the service is being stopped"})");
  if (!call.service.engine.ready())
    return state(503,
                 R"({"status":"unfit","reason":"the published check values were not reproduced: see /v1/models"})");
  const RegistryAccess& instruments = call.service.instruments;
  if (instruments.needed && instruments.registry->trouble())
    return state(503, R"({"status":"unfit","reason":"the registry of instruments cannot be read; lookups go on"})");
  return state(200, R"({"status":"ready"})");
}

}  // namespace agonic::server
