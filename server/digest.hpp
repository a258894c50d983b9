// SHA-256, for entity tags.
#pragma once

#include <string>
#include <string_view>

namespace agonic::server {

/// 64 hexadecimal digits.
std::string sha256_hex(std::string_view bytes);
/// As a content security policy writes it.
std::string sha256_base64(std::string_view bytes);

}  // namespace agonic::server
