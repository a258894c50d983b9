#include "server/registry/secret.hpp"

#include <openssl/crypto.h>
#include <openssl/rand.h>

#include <array>
#include <stdexcept>

#include "server/digest.hpp"

namespace agonic::server::registry {
namespace {

template <std::size_t N>
std::array<unsigned char, N> random_bytes() {
  std::array<unsigned char, N> bytes{};
  if (RAND_bytes(bytes.data(), static_cast<int>(N)) != 1) throw std::runtime_error("no random numbers at hand");
  return bytes;
}

}  // namespace

std::string new_secret() {
  constexpr std::string_view kAlphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  const auto bytes = random_bytes<32>();
  std::string out = "agonic_";
  unsigned int held = 0;
  int bits = 0;
  for (const unsigned char byte : bytes) {
    held = (held << 8) | byte;
    for (bits += 8; bits >= 6; bits -= 6) out += kAlphabet[(held >> (bits - 6)) & 63];
  }
  return out + kAlphabet[(held << (6 - bits)) & 63];
}

std::string new_key_id() {
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string out = "k_";
  for (const unsigned char byte : random_bytes<4>()) out += {kDigits[byte >> 4], kDigits[byte & 15]};
  return out;
}

std::string digest_of(std::string_view secret) { return sha256_hex(secret); }

bool same_digest(std::string_view a, std::string_view b) noexcept {
  return a.size() == b.size() && CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

}  // namespace agonic::server::registry
