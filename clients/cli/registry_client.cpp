#include "clients/cli/registry_client.hpp"

#include <httplib.h>

#include <cstdlib>
#include <fstream>
#include <iostream>
#include <stdexcept>

#include "clients/cli/remote.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

constexpr time_t kSeconds = 30;

std::string key_in(const std::string& file) {
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);
  if (!in && line.empty()) throw std::runtime_error(file + ": there is no key to be read");
  return std::string(trim(line));
}

std::string key_of(const RegistryOptions& options) {
  if (!options.key_file.empty()) return key_in(options.key_file);
  if (const char* key = std::getenv("AGONIC_KEY"); key != nullptr && *key != '\0') return std::string(trim(key));
  if (const char* file = std::getenv("AGONIC_KEY_FILE"); file != nullptr && *file != '\0') return key_in(file);
  return {};
}

bool stays_here(const std::string& server) {
  for (const char* own : {"http://127.", "http://localhost", "http://[::1]"})
    if (starts_with_nocase(server, own)) return true;
  return false;
}

}  // namespace

std::string url_encoded(std::string_view text) {
  constexpr std::string_view kHex = "0123456789ABCDEF";
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (plain || c == '-' || c == '_' || c == '.')
      out += c;
    else
      out += {'%', kHex[byte >> 4], kHex[byte & 15]};
  }
  return out;
}

Result<std::string> key_for(const std::string& server, const RegistryOptions& options) {
  std::string key = key_of(options);
  if (!key.empty() && !stays_here(server) && !starts_with_nocase(server, "https://") && !options.plain_http)
    return Problem{Code::contradiction, "--server", server, "the key would go over the network unencrypted",
                   "Use https://, or --plain-http on a network of your own"};
  return key;
}

std::string instrument_path(std::string_view id) { return "/v1/instruments/" + url_encoded(id); }

Reply ask_registry(const Common& common, const RegistryOptions& options, const std::string& method,
                   const std::string& path, const std::string& body, const std::string& if_match) {
  Reply reply;
  const std::string server = common.server.empty() ? kOwnServer : common.server;
  httplib::Request request;
  request.method = method;
  request.path = path;
  const auto key = key_for(server, options);
  if (!key) {
    reply.exit = report(key.problem(), common.json);
    return reply;
  }
  if (!key->empty()) request.headers.emplace("Authorization", "Bearer " + *key);
  if (!if_match.empty()) request.headers.emplace("If-Match", if_match);
  if (!body.empty()) {
    request.body = body;
    request.headers.emplace("Content-Type", "application/json");
  }
  httplib::Client client(server);
  client.set_read_timeout(kSeconds);
  client.set_write_timeout(kSeconds);
  const httplib::Result result = client.send(request);
  if (!result) {
    report_failure(
        server + ": cannot be reached (" + httplib::to_string(result.error()) + "). Is agonicd running there?",
        common.json);
    reply.exit = kFailed;
    return reply;
  }
  reply.status = result->status;
  reply.body = result->body;
  for (const auto& [name, value] : result->headers) reply.headers.emplace(lower(name), value);
  if (!reply.fine()) {
    reply.exit = report_remote(reply.status, reply.body, common.json);
    if (reply.status == 404) reply.exit = kWrongUse;  // an id that is none
  }
  return reply;
}

}  // namespace agonic::cli
