#include "server/registry/access.hpp"

#include <algorithm>
#include <array>

#include "model/units/number.hpp"
#include "server/problem_response.hpp"
#include "server/registry/registry.hpp"
#include "server/registry/secret.hpp"

namespace agonic::server::registry {
namespace {

constexpr std::array<std::string_view, 4> kProxyHeaders{"forwarded", "x-forwarded-for", "x-real-ip", "via"};

Response denied(HttpFault kind, std::string detail, std::string remedy) {
  Response response = refuse(kind, std::move(detail));
  response.refusal->remedy = std::move(remedy);
  if (kind == HttpFault::key_missing) response.with("WWW-Authenticate", "Bearer realm=\"agonic\"");
  return response;
}

Response unknown_key() {
  return denied(HttpFault::key_missing, "a key is needed here, and none that is known and live came with the request",
                "Send Authorization: Bearer with a key; the operator makes one with 'agonic key add'.");
}

bool came_by_proxy(const Request& request) {
  return std::any_of(kProxyHeaders.begin(), kProxyHeaders.end(),
                     [&](std::string_view name) { return request.header(name).has_value(); });
}

// Sent by a program on this machine, or a page that came from here.
bool came_from_here(const Request& request) {
  if (!is_loopback_host(request.header("host").value_or(""))) return false;
  const auto origin = request.header("origin");
  if (!origin) return true;
  const std::size_t slashes = origin->find("//");
  return slashes != std::string_view::npos && is_loopback_host(origin->substr(slashes + 2));
}

// The token of the one Authorization header; empty where it is of another kind.
std::string_view bearer(const Request& request) {
  const std::string_view value = request.header("authorization").value_or("");
  constexpr std::string_view kScheme = "Bearer ";
  return starts_with_nocase(value, kScheme) ? trim(value.substr(kScheme.size())) : std::string_view();
}

std::variant<Principal, Response> without_key(const Call& call) {
  const bool loopback = is_loopback_host(call.service.config.host);
  if (call.service.instruments.registry->has_keys()) return unknown_key();
  constexpr const char* kRemedy =
      "Make a key on the machine of the service: agonic key add --team NAME --key-file …/operator.key";
  if (!loopback)
    return denied(HttpFault::not_allowed,
                  "the service listens beyond this machine and no key has been made: the registry stays closed",
                  kRemedy);
  if (came_by_proxy(call.request))
    return denied(HttpFault::not_allowed,
                  "the request came by a proxy and no key has been made: the registry stays closed", kRemedy);
  if (!came_from_here(call.request))
    return denied(HttpFault::not_allowed,
                  "without a key the registry answers to this machine's own names and pages only",
                  "Ask http://127.0.0.1 or http://localhost, or make a key.");
  return Principal{std::string(kLocalTeam), "local", "local", true, true};
}

std::variant<Principal, Response> with_key(const Call& call) {
  const RegistryAccess& access = call.service.instruments;
  const std::string digest = digest_of(bearer(call.request));
  if (!access.operator_digest.empty() && same_digest(digest, access.operator_digest))
    return Principal{{}, "operator", "operator", false, true};
  const auto key = access.registry->key_of(digest);
  if (!key) return unknown_key();
  return Principal{key->team, key->name + " (" + key->id + ")", key->id, key->scope == "write", false};
}

}  // namespace

bool is_loopback_host(std::string_view host) {
  if (host.starts_with('[')) {
    const std::size_t end = host.find(']');
    return end != std::string_view::npos && host.substr(1, end - 1) == "::1";
  }
  if (host == "::1") return true;
  host = host.substr(0, host.find(':'));
  if (same_text(host, "localhost")) return true;
  const bool number = host.find_first_not_of("0123456789.") == std::string_view::npos;
  return number && host.starts_with("127.") && std::count(host.begin(), host.end(), '.') == 3;
}

std::variant<Principal, Response> identify(const Call& call, Need need) {
  if (call.service.instruments.registry == nullptr)
    return denied(HttpFault::registry_unavailable, "this service keeps no registry of instruments",
                  "Start agonicd with --state-dir or --registry.");
  const auto headers = std::count_if(call.request.headers.begin(), call.request.headers.end(),
                                     [](const NamedText& header) { return header.first == "authorization"; });
  auto found = headers == 0 ? without_key(call) : headers == 1 ? with_key(call) : unknown_key();
  const Principal* principal = std::get_if<Principal>(&found);
  if (principal == nullptr) return found;
  if (need == Need::operate && !principal->may_operate)
    return denied(HttpFault::not_allowed, "keys and backups are the operator's",
                  "Use the key in operator.key, beside the registry.");
  if (need != Need::operate && principal->team.empty())
    return denied(HttpFault::not_allowed, "the operator's key opens no team's instruments",
                  "Make a key for the team: agonic key add --team NAME");
  if (need == Need::write && !principal->may_write)
    return denied(HttpFault::not_allowed, "this key may read and not write", "Use a key with the scope write.");
  return found;
}

}  // namespace agonic::server::registry
