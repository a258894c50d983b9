// The checksum by which a coefficient table is known.
#pragma once

#include <string>
#include <string_view>

namespace agonic::field {

/// SHA-256 (FIPS 180-4) as 64 lower-case hexadecimal digits. Throws std::runtime_error if the library fails.
std::string sha256(std::string_view bytes);

}  // namespace agonic::field
