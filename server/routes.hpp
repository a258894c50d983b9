// The routing table: exact paths, or one name in a path; one endpoint a method.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

using Endpoint = Response (*)(Call&);

struct PathEntry {
  std::string_view path;   ///< ends in '/' and `prefix` for a family of paths; or holds one {name}
  std::string_view label;  ///< what logs and counters show
  Endpoint get = nullptr;
  Endpoint post = nullptr;
  bool prefix = false;
  Endpoint put = nullptr;
  Endpoint erase = nullptr;  ///< DELETE
  bool own_origin = false;   ///< pages of other origins may not read it
};

std::span<const PathEntry> routes() noexcept;
/// Null where nothing is.
const PathEntry* find_path(std::string_view path) noexcept;
/// What stands in the path at {name}, never empty; or the empty text for an entry without one.
std::string name_in_path(const PathEntry& entry, std::string_view path);
/// "GET, HEAD, POST, OPTIONS"
std::string allowed_methods(const PathEntry& entry);
/// The answer to OPTIONS: pages of any origin may read, with If-None-Match; posting stays with the own origin.
Response preflight(const PathEntry& entry);

}  // namespace agonic::server
