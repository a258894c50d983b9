// Keys: random text that opens one team's records.
#pragma once

#include <string>
#include <string_view>

namespace agonic::server::registry {

/// "agonic_" and 256 random bits in the URL-safe alphabet of RFC 4648. Throws std::runtime_error without randomness.
std::string new_secret();
/// Eight random hexadecimal digits behind a prefix: to name a key without giving it away.
std::string new_key_id();
/// What is kept of a key: its SHA-256. It needs no salt and no stretching, for it is random, not chosen by a person.
std::string digest_of(std::string_view secret);
/// In a time that does not depend on where they differ.
bool same_digest(std::string_view a, std::string_view b) noexcept;

}  // namespace agonic::server::registry
