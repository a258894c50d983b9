// Who is asking, and for which team.
#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server::registry {

/// What a call needs to be allowed.
enum class Need {
  read,
  write,
  operate,  ///< keys and backups: the operator's
};

struct Principal {
  std::string team;  ///< empty: the operator, who has no instruments
  std::string who;   ///< for the history: "field notebook (k_1f2e3d4c)", "operator", "local"
  std::string bucket;
  bool may_write = false;
  bool may_operate = false;
};

/// The team of the one person who works on loopback without a key.
inline constexpr std::string_view kLocalTeam = "local";

/// Tells who is asking by `Authorization: Bearer`, or refuses: 401, 403, or 503 where no registry is kept.
///
/// Without a key only one person on this machine is let in: agonicd listens on loopback, no key has ever been made, and
/// neither a proxy (Forwarded, X-Forwarded-For, X-Real-IP, Via) nor a page of another origin (Origin, and Host against
/// names that have been made to point here) is behind the request.
/// Throws StoreFailure where the keys have never been read.
std::variant<Principal, Response> identify(const Call& call, Need need);

/// Does the text name this machine's loopback: localhost, 127.x.x.x, ::1, with or without a port?
bool is_loopback_host(std::string_view host);

}  // namespace agonic::server::registry
