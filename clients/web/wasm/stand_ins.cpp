// What the programs take from libraries that do not exist for WebAssembly, for the one thread of the page.
#include <array>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "model/exchange/gzip.hpp"
#include "model/field/sha256.hpp"
#include "model/geodesy/projections_series.hpp"

// Nothing is caught here: what the programs throw ends the call with a trap, which the page reports.
extern "C" void* __cxa_allocate_exception(std::size_t) { std::abort(); }
extern "C" void __cxa_throw(void*, void*, void (*)(void*)) { std::abort(); }

namespace hwy {
// Only the plain kernel is compiled, so that nothing is asked of the processor.
std::int64_t SupportedTargets() { return 0; }
}  // namespace hwy

namespace agonic::geodesy {

OnPlane transverse_mercator(double meridian_deg, double lat_deg, double lon_deg) {
  return series::transverse_mercator(meridian_deg, lat_deg, lon_deg);
}
OnPlane polar_stereographic(bool north, double lat_deg, double lon_deg) {
  return series::polar_stereographic(north, lat_deg, lon_deg);
}
int standard_zone(double lat_deg, double lon_deg) { return series::standard_zone(lat_deg, lon_deg); }
std::optional<Geographic> from_utm_ups(int zone, bool north, double easting_m, double northing_m) {
  return series::from_utm_ups(zone, north, easting_m, northing_m);
}
std::optional<MgrsSquare> mgrs_square(const std::string& mgrs) { return series::mgrs_square(mgrs); }

}  // namespace agonic::geodesy

namespace agonic::exchange {
// The page never asks for a packed result.
GzipPiece gzip_piece(std::string_view) { std::abort(); }
void GzipJoiner::add(const GzipPiece&) noexcept {}
std::string_view GzipJoiner::head() noexcept { return {}; }
std::string GzipJoiner::tail() const { return {}; }
}  // namespace agonic::exchange

namespace agonic::field {
namespace {

constexpr std::array<std::uint32_t, 64> kRound{
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

std::uint32_t turned(std::uint32_t x, int by) { return (x >> by) | (x << (32 - by)); }

}  // namespace

// FIPS 180-4, 6.2.
std::string sha256(std::string_view bytes) {
  std::array<std::uint32_t, 8> h{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
  std::string message(bytes);
  message += '\x80';
  while (message.size() % 64 != 56) message += '\0';
  const std::uint64_t bits = std::uint64_t{bytes.size()} * 8;
  for (int shift = 56; shift >= 0; shift -= 8) message += static_cast<char>(bits >> shift & 0xFF);
  for (std::size_t block = 0; block < message.size(); block += 64) {
    std::array<std::uint32_t, 64> w{};
    for (std::size_t i = 0; i < 64; ++i) w[i / 4] = w[i / 4] << 8 | static_cast<unsigned char>(message[block + i]);
    for (std::size_t t = 16; t < 64; ++t) {
      const std::uint32_t a = w[t - 15], b = w[t - 2];
      w[t] = w[t - 16] + (turned(a, 7) ^ turned(a, 18) ^ a >> 3) + w[t - 7] + (turned(b, 17) ^ turned(b, 19) ^ b >> 10);
    }
    std::array<std::uint32_t, 8> v = h;
    for (std::size_t t = 0; t < 64; ++t) {
      const std::uint32_t e = v[4], a = v[0];
      const std::uint32_t first =
          v[7] + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & v[5]) ^ (~e & v[6])) + kRound[t] + w[t];
      const std::uint32_t second =
          (turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & v[1]) ^ (a & v[2]) ^ (v[1] & v[2]));
      v = {first + second, v[0], v[1], v[2], v[3] + first, v[4], v[5], v[6]};
    }
    for (std::size_t i = 0; i < 8; ++i) h[i] += v[i];
  }
  constexpr std::string_view kHex = "0123456789abcdef";
  std::string text;
  for (const std::uint32_t word : h)
    for (int shift = 28; shift >= 0; shift -= 4) text += kHex[word >> shift & 15];
  return text;
}

}  // namespace agonic::field
