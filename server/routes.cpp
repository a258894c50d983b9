#include "server/routes.hpp"

#include <array>
#include <optional>

#include "server/endpoints/checks.hpp"
#include "server/endpoints/endpoints.hpp"

namespace agonic::server {
namespace {

constexpr std::string_view kInstruments = "/v1/instruments", kInstrument = "/v1/instruments/{id}",
                           kIndexErrors = "/v1/instruments/{id}/index-errors",
                           kSettings = "/v1/instruments/{id}/settings";

constexpr std::array kRoutes{
    PathEntry{"/", "/", page, nullptr},
    PathEntry{"/plain", "/plain", plain_page, nullptr},
    PathEntry{"/assets/", "/assets/{name}", page, nullptr, true},
    PathEntry{"/service-worker.js", "/service-worker.js", page, nullptr},
    PathEntry{"/manifest.webmanifest", "/manifest.webmanifest", page, nullptr},
    PathEntry{"/v1/declination", "/v1/declination", declination, declination},
    PathEntry{"/v1/setting", "/v1/setting", setting, setting},
    PathEntry{"/v1/chart", "/v1/chart", chart, chart},
    PathEntry{"/v1/sun", "/v1/sun", sun, sun},
    PathEntry{"/v1/correct", "/v1/correct", nullptr, correct},
    PathEntry{"/v1/review", "/v1/review", nullptr, review},
    PathEntry{"/v1/fit", "/v1/fit", nullptr, fit},
    PathEntry{"/v1/traverse", "/v1/traverse", nullptr, traverse},
    PathEntry{"/v1/rotation", "/v1/rotation", nullptr, rotation},
    PathEntry{"/v1/swing", "/v1/swing", nullptr, swing},
    PathEntry{"/v1/card", "/v1/card", card, card},
    PathEntry{"/v1/route", "/v1/route", nullptr, route},
    PathEntry{"/v1/models", "/v1/models", models, nullptr},
    PathEntry{kInstruments, kInstruments, instruments, create_instrument, false, nullptr, nullptr, true},
    PathEntry{kInstrument, kInstrument, instrument_record, nullptr, false, change_instrument, nullptr, true},
    PathEntry{kIndexErrors, kIndexErrors, nullptr, add_index_error, false, nullptr, nullptr, true},
    PathEntry{kSettings, kSettings, nullptr, add_setting, false, nullptr, nullptr, true},
    PathEntry{"/v1/registry/dump", "/v1/registry/dump", registry_dump, nullptr, false, nullptr, nullptr, true},
    PathEntry{"/v1/registry/import", "/v1/registry/import", nullptr, registry_import, false, nullptr, nullptr, true},
    PathEntry{"/v1/registry/report", "/v1/registry/report", registry_report, nullptr, false, nullptr, nullptr, true},
    PathEntry{"/v1/registry/backup", "/v1/registry/backup", registry_backup, nullptr, false, nullptr, nullptr, true},
    PathEntry{"/v1/keys", "/v1/keys", keys, add_key, false, nullptr, nullptr, true},
    PathEntry{"/v1/keys/{id}", "/v1/keys/{id}", nullptr, nullptr, false, nullptr, revoke_key, true},
    PathEntry{"/openapi.json", "/openapi.json", openapi, nullptr},
    PathEntry{"/checks", "/checks", check_index, nullptr},
    PathEntry{"/checks/{code}", "/checks/{code}", check_page, nullptr},
    PathEntry{"/problems/", "/problems/{word}", problems, nullptr, true},
    PathEntry{"/healthz", "/healthz", healthz, nullptr},
    PathEntry{"/livez", "/livez", healthz, nullptr},
    PathEntry{"/readyz", "/readyz", readyz, nullptr},
    PathEntry{"/metrics", "/metrics", metrics, nullptr},
};

// Where {name} stands in the pattern, and what of the path stands there: all between what comes before and after it.
std::optional<std::string_view> matched_name(std::string_view pattern, std::string_view path) {
  const std::size_t open = pattern.find('{');
  if (open == std::string_view::npos) return std::nullopt;
  const std::string_view before = pattern.substr(0, open), after = pattern.substr(pattern.find('}') + 1);
  if (path.size() <= before.size() + after.size() || !path.starts_with(before) || !path.ends_with(after))
    return std::nullopt;
  const std::string_view name = path.substr(before.size(), path.size() - before.size() - after.size());
  return name.find('/') == std::string_view::npos ? std::optional(name) : std::nullopt;
}

}  // namespace

std::span<const PathEntry> routes() noexcept { return kRoutes; }

const PathEntry* find_path(std::string_view path) noexcept {
  for (const PathEntry& entry : kRoutes)
    if (entry.prefix ? path.starts_with(entry.path) : path == entry.path || matched_name(entry.path, path))
      return &entry;
  return nullptr;
}

std::string name_in_path(const PathEntry& entry, std::string_view path) {
  return std::string(matched_name(entry.path, path).value_or(""));
}

std::string allowed_methods(const PathEntry& entry) {
  std::string methods;
  if (entry.get != nullptr) methods += "GET, HEAD, ";
  if (entry.post != nullptr) methods += "POST, ";
  if (entry.put != nullptr) methods += "PUT, ";
  if (entry.erase != nullptr) methods += "DELETE, ";
  return methods + "OPTIONS";
}

Response preflight(const PathEntry& entry) {
  Response response;
  response.status = 204;
  response.with("Allow", allowed_methods(entry));
  if (entry.get != nullptr && !entry.own_origin)
    response.with("Access-Control-Allow-Origin", "*")
        .with("Access-Control-Allow-Methods", "GET, HEAD")
        .with("Access-Control-Allow-Headers", "If-None-Match, X-Request-Id")
        .with("Access-Control-Max-Age", "86400");
  return response;
}

}  // namespace agonic::server
