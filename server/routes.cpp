#include "server/routes.hpp"

#include <array>

#include "server/endpoints/endpoints.hpp"

namespace agonic::server {
namespace {

constexpr std::array kRoutes{
    PathEntry{"/", "/", page, nullptr},
    PathEntry{"/v1/declination", "/v1/declination", declination, declination},
    PathEntry{"/v1/setting", "/v1/setting", setting, setting},
    PathEntry{"/v1/sun", "/v1/sun", sun, sun},
    PathEntry{"/v1/correct", "/v1/correct", nullptr, correct},
    PathEntry{"/v1/fit", "/v1/fit", nullptr, fit},
    PathEntry{"/v1/traverse", "/v1/traverse", nullptr, traverse},
    PathEntry{"/v1/rotation", "/v1/rotation", nullptr, rotation},
    PathEntry{"/v1/swing", "/v1/swing", nullptr, swing},
    PathEntry{"/v1/models", "/v1/models", models, nullptr},
    PathEntry{"/openapi.json", "/openapi.json", openapi, nullptr},
    PathEntry{"/problems/", "/problems/{word}", problems, nullptr, true},
    PathEntry{"/healthz", "/healthz", healthz, nullptr},
    PathEntry{"/livez", "/livez", healthz, nullptr},
    PathEntry{"/readyz", "/readyz", readyz, nullptr},
    PathEntry{"/metrics", "/metrics", metrics, nullptr},
};

}  // namespace

std::span<const PathEntry> routes() noexcept { return kRoutes; }

const PathEntry* find_path(std::string_view path) noexcept {
  for (const PathEntry& entry : kRoutes)
    if (entry.prefix ? path.starts_with(entry.path) : path == entry.path) return &entry;
  return nullptr;
}

std::string allowed_methods(const PathEntry& entry) {
  std::string methods;
  if (entry.get != nullptr) methods += "GET, HEAD, ";
  if (entry.post != nullptr) methods += "POST, ";
  return methods + "OPTIONS";
}

Response preflight(const PathEntry& entry) {
  Response response;
  response.status = 204;
  response.with("Allow", allowed_methods(entry));
  if (entry.get != nullptr)
    response.with("Access-Control-Allow-Origin", "*")
        .with("Access-Control-Allow-Methods", "GET, HEAD")
        .with("Access-Control-Allow-Headers", "If-None-Match, X-Request-Id")
        .with("Access-Control-Max-Age", "86400");
  return response;
}

}  // namespace agonic::server
