#include "model/field/sha256.hpp"

#include <openssl/evp.h>

#include <array>
#include <stdexcept>

namespace agonic::field {

std::string sha256(std::string_view bytes) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int length = 0;
  if (EVP_Digest(bytes.data(), bytes.size(), digest.data(), &length, EVP_sha256(), nullptr) != 1) {
    throw std::runtime_error("the SHA-256 of a coefficient table could not be computed");
  }
  constexpr std::string_view kHex = "0123456789abcdef";
  std::string text;
  for (unsigned int i = 0; i < length; ++i) text += {kHex[digest[i] >> 4], kHex[digest[i] & 15]};
  return text;
}

}  // namespace agonic::field
