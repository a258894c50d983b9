// What a request head must satisfy beyond being readable (RFC 9110, RFC 9112).
//
// The HTTP library reads the head, and takes more than it should: two lengths, a length beside chunks, a body on GET.
// A proxy in front ends such attacks; these checks on what the library has read are a second line, and cheap. They
// see no more than the library tells: header lines it has dropped are gone, and %XX in header values is decoded.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

#include "server/http/message.hpp"

namespace agonic::server {

inline constexpr std::size_t kTargetMax = 8000;  ///< bytes of the request target
inline constexpr std::size_t kHeadersMax = 100;  ///< header lines
inline constexpr std::size_t kQueryMax = 64;     ///< parameters in a query

/// Refuses, or completes the request: content_length, chunked, keep_alive, expects_continue, and the path of an
/// absolute address.
/// @param request with method, path, query and headers as the library read them
/// @param target as it was sent
/// @param version as "HTTP/1.1"
std::optional<Fault> check_head(Request& request, std::string_view target, std::string_view version);

}  // namespace agonic::server
