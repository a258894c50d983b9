// Fixed decimals by scaled integers.
//
// With s = 10^decimals, v s = p + e exactly, where p is the rounded product and e its error (Dekker 1971, A
// floating-point technique for extending the available precision, doi:10.1007/BF01397083: the factors are split so that
// the partial products are exact). The fraction of p is a multiple of the last place of p, and |e| is at most half of
// that, so the sum is on the tie only if the fraction is exactly 1/2 and e is 0.
#include "model/units/text.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace agonic {
namespace {

constexpr std::array<double, 10> kScale{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
constexpr double kLargestScaled = 1e15;  // below: p, its fraction and its digits are exact

constexpr auto kPairs = [] {
  std::array<char, 200> pairs{};
  for (std::size_t i = 0; i < 100; ++i) {
    pairs[2 * i] = static_cast<char>('0' + i / 10);
    pairs[2 * i + 1] = static_cast<char>('0' + i % 10);
  }
  return pairs;
}();

void put_pair(char* to, std::uint64_t pair) noexcept { std::memcpy(to, &kPairs[2 * pair], 2); }

char* write_whole(char* to, std::uint64_t whole) noexcept {
  if (whole < 10) {
    *to = static_cast<char>('0' + whole);
    return to + 1;
  }
  if (whole < 100) {
    put_pair(to, whole);
    return to + 2;
  }
  if (whole < 1000) {
    *to = static_cast<char>('0' + whole / 100);
    put_pair(to + 1, whole % 100);
    return to + 3;
  }
  return std::to_chars(to, to + 20, whole).ptr;
}

// `decimals` figures of `part`, with leading zeros.
char* write_decimals(char* to, std::uint64_t part, int decimals) noexcept {
  int at = decimals;
  for (; at >= 2; at -= 2, part /= 100) put_pair(to + at - 2, part % 100);
  if (at == 1) *to = static_cast<char>('0' + part);
  return to + decimals;
}

char* write_slowly(char* to, double value, int decimals) noexcept {
  const auto written = std::to_chars(to, to + kFixedRoom, value, std::chars_format::fixed, decimals);
  const std::string_view text(to, static_cast<std::size_t>(written.ptr - to));
  if (text.front() == '-' && text.find_first_not_of("-0.") == std::string_view::npos) {
    std::memmove(to, to + 1, text.size() - 1);
    return written.ptr - 1;
  }
  return written.ptr;
}

// The value in whole steps of 1 / scale, rounded; only for products below kLargestScaled.
std::uint64_t steps_of(double size, double scale) noexcept {
  const double p = size * scale;
  const auto steps = static_cast<std::uint64_t>(static_cast<std::int64_t>(p));
  const double fraction = p - static_cast<double>(static_cast<std::int64_t>(steps));
  if (fraction != 0.5) return steps + (fraction > 0.5 ? 1 : 0);
  const double high = std::bit_cast<double>(std::bit_cast<std::uint64_t>(size) & ~std::uint64_t{0x7FFFFFF});
  const double e = (high * scale - p) + (size - high) * scale;
  return steps + (e > 0 || (e == 0 && (steps & 1) != 0) ? 1 : 0);
}

}  // namespace

char* write_fixed(char* to, double value, int decimals) noexcept {
  const double size = std::abs(value);
  if (decimals == 3 && size < 1000) {  // the usual case, with constant divisors
    const auto steps = static_cast<std::uint32_t>(steps_of(size, 1000));
    *to = '-';
    to += value < 0 && steps != 0 ? 1 : 0;
    const std::uint32_t whole = steps / 1000, part = steps % 1000;
    to = write_whole(to, whole);
    *to = '.';
    to[1] = static_cast<char>('0' + part / 100);
    put_pair(to + 2, part % 100);
    return to + 4;
  }
  const double scale = kScale[static_cast<std::size_t>(decimals)];
  if (!(size * scale < kLargestScaled)) return write_slowly(to, value, decimals);
  const std::uint64_t steps = steps_of(size, scale);
  if (value < 0 && steps != 0) *to++ = '-';
  const auto step = static_cast<std::uint64_t>(scale);
  to = write_whole(to, steps / step);
  if (decimals == 0) return to;
  *to++ = '.';
  return write_decimals(to, steps % step, decimals);
}

void Text::grow(std::size_t more) {
  const std::size_t capacity = std::max({size_ + more, capacity_ * 2, std::size_t{256}});
  auto larger = std::make_unique_for_overwrite<char[]>(capacity);
  if (size_ > 0) std::memcpy(larger.get(), data_.get(), size_);
  data_ = std::move(larger);
  capacity_ = capacity;
}

}  // namespace agonic
