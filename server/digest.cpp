#include "server/digest.hpp"

#include <openssl/evp.h>
#include <openssl/sha.h>

#include <array>

namespace agonic::server {

std::string sha256_hex(std::string_view bytes) {
  std::array<unsigned char, SHA256_DIGEST_LENGTH> hash{};
  SHA256(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(), hash.data());
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string out;
  for (const unsigned char byte : hash) {
    out += kDigits[byte >> 4];
    out += kDigits[byte & 15];
  }
  return out;
}

std::string sha256_base64(std::string_view bytes) {
  std::array<unsigned char, SHA256_DIGEST_LENGTH> hash{};
  SHA256(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(), hash.data());
  std::array<unsigned char, 4 * ((SHA256_DIGEST_LENGTH + 2) / 3) + 1> text{};
  const int length = EVP_EncodeBlock(text.data(), hash.data(), SHA256_DIGEST_LENGTH);
  return {text.begin(), text.begin() + length};
}

}  // namespace agonic::server
