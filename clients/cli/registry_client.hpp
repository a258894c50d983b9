// Talks to the registry of an agonicd: JSON over HTTP, with a key where there is one.
#pragma once

#include <map>
#include <string>
#include <string_view>

#include "clients/cli/context.hpp"
#include "model/units/problem.hpp"

namespace agonic::cli {

inline constexpr const char* kOwnServer = "http://127.0.0.1:8080";

/// Where the registry is, and what opens it.
struct RegistryOptions {
  std::string key_file;     ///< a file that holds the key; else $AGONIC_KEY, then the file that $AGONIC_KEY_FILE names
  bool plain_http = false;  ///< the key may go unencrypted to another machine
};

/// What came back. `status` is 0 where nothing did: it has been told then.
struct Reply {
  int status = 0;
  std::string body;
  std::map<std::string, std::string, std::less<>> headers;  ///< names in lower case
  int exit = 0;                                             ///< where it is no success
  [[nodiscard]] bool fine() const { return status >= 200 && status < 300; }
};

/// The key to send to this server, empty where there is none; refuses to send one unencrypted to another machine.
Result<std::string> key_for(const std::string& server, const RegistryOptions& options);

/// Sends one request; says on standard error what went wrong.
/// @param body JSON, or empty
/// @param if_match an entity tag, or empty
Reply ask_registry(const Common& common, const RegistryOptions& options, const std::string& method,
                   const std::string& path, const std::string& body = {}, const std::string& if_match = {});

/// "/v1/instruments/BR%2007"
std::string instrument_path(std::string_view id);
std::string url_encoded(std::string_view text);

}  // namespace agonic::cli
