#include "model/units/number.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

#include "model/units/text.hpp"

namespace agonic {

namespace {
// Is a number out of a double's range below 1 in size, not above? `written` is well-formed, with a point.
bool below_one(std::string_view written) noexcept {
  const auto e = std::min(written.find_first_of("eE"), written.size());
  const std::string_view figures = written.substr(0, e);
  long exponent = 0;
  if (e < written.size()) {
    std::string_view text = written.substr(e + 1);
    if (text.front() == '+') text.remove_prefix(1);
    const auto read = std::from_chars(text.data(), text.data() + text.size(), exponent);
    if (read.ec != std::errc()) return text.front() == '-';
  }
  const auto point = std::min(figures.find('.'), figures.size());
  const auto first = figures.find_first_of("123456789");
  const long before = static_cast<long>(point) - static_cast<long>(first);  // figures before the point; 0 or less: none
  return exponent + before <= 0;
}
}  // namespace

// Whole number and power of ten are exact doubles, so that one division rounds correctly (Clinger 1990, How to read
// floating point numbers accurately, doi:10.1145/93542.93557).
std::optional<double> plain_decimal(std::string_view text, char mark) noexcept {
  constexpr std::array<double, 16> kPowers{1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                           1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  constexpr std::size_t kLongest = 15;
  const auto figure = [](char c) { return c >= '0' && c <= '9'; };
  if (text.empty() || text.size() > kLongest) return std::nullopt;
  const bool negative = text.front() == '-';
  if (negative) text.remove_prefix(1);
  if (text.empty() || !figure(text.front()) || !figure(text.back())) return std::nullopt;
  std::uint64_t whole = 0;
  std::size_t behind = 0;
  bool marked = false;
  for (const char c : text) {
    if (figure(c)) {
      whole = whole * 10 + static_cast<std::uint64_t>(c - '0');
      behind += marked ? 1 : 0;
    } else if (c == mark && !marked) {
      marked = true;
    } else {
      return std::nullopt;
    }
  }
  const double value = behind == 0 ? static_cast<double>(whole) : static_cast<double>(whole) / kPowers[behind];
  return negative ? -value : value;
}

std::optional<double> parse_number(std::string_view text, char mark) noexcept {
  text = trim(text);
  if (text.empty() || text.size() > 400) return std::nullopt;
  if (const auto value = plain_decimal(text, mark)) return value;
  std::array<char, 401> buffer;
  std::size_t length = 0;
  bool digits = false;
  if (text.front() == '+') {
    text.remove_prefix(1);
    if (text.empty() || text.front() == '-') return std::nullopt;
  }
  for (char c : text) {
    if (c >= '0' && c <= '9')
      digits = true;
    else if (c == mark)
      c = '.';
    else if (c != '-' && c != '+' && c != 'e' && c != 'E')
      return std::nullopt;
    buffer[length++] = c;
  }
  if (!digits) return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(buffer.data(), buffer.data() + length, value);
  if (end != buffer.data() + length) return std::nullopt;
  if (error == std::errc::result_out_of_range) {
    // from_chars leaves the value alone for 1e-400 and for 1e999: the place of the first figure tells them apart.
    return below_one({buffer.data(), length}) ? std::optional<double>(0.0) : std::nullopt;
  }
  if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::string format_fixed(double value, int decimals) {
  std::array<char, kFixedRoom> buffer;
  return {buffer.data(), write_fixed(buffer.data(), value, decimals)};
}

std::string format_azimuth(double degrees, int decimals) {
  std::string text = format_fixed(degrees, decimals);
  if (text.starts_with("360")) text.replace(0, 3, "0");
  return text;
}

std::string format_trimmed(double value, int decimals) {
  std::string text = format_fixed(value, decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text;
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

bool is_word(std::string_view text, std::string_view word) noexcept {
  return text.size() == word.size() && starts_with_nocase(text, word);
}

bool starts_with_nocase(std::string_view text, std::string_view prefix) noexcept {
  if (text.size() < prefix.size()) return false;
  for (std::size_t i = 0; i < prefix.size(); ++i) {
    const auto fold = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
    if (fold(text[i]) != fold(prefix[i])) return false;
  }
  return true;
}

bool one_letter_off(std::string_view a, std::string_view b) noexcept {
  if (a.size() > b.size()) std::swap(a, b);
  if (b.size() - a.size() > 1 || a == b) return false;
  const auto differ = std::mismatch(a.begin(), a.end(), b.begin());
  const auto at = static_cast<std::size_t>(differ.first - a.begin());
  if (b[at] >= '0' && b[at] <= '9') return false;
  return a.substr(at + (a.size() == b.size() ? 1 : 0)) == b.substr(at + 1);
}

namespace {
// Length of the UTF-8 sequence at `at`, 0 when there is none.
std::size_t utf8_length(std::string_view text, std::size_t at) noexcept {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t lead = byte(at);
  const std::size_t length = lead < 0x80                   ? 1
                             : lead >= 0xC2 && lead < 0xE0 ? 2
                             : lead >= 0xE0 && lead < 0xF0 ? 3
                             : lead >= 0xF0 && lead < 0xF5 ? 4
                                                           : 0;
  if (length == 0 || at + length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(at + i) & 0xC0) != 0x80) return 0;
  if (length == 3 && ((lead == 0xE0 && byte(at + 1) < 0xA0) || (lead == 0xED && byte(at + 1) > 0x9F))) return 0;
  if (length == 4 && ((lead == 0xF0 && byte(at + 1) < 0x90) || (lead == 0xF4 && byte(at + 1) > 0x8F))) return 0;
  return length;
}
}  // namespace

std::string printable(std::string_view text, std::size_t limit) {
  constexpr std::string_view kHex = "0123456789ABCDEF";
  std::string out;
  std::size_t at = 0;
  while (at < text.size() && at < limit) {
    const auto byte = static_cast<std::uint8_t>(text[at]);
    const std::size_t length = utf8_length(text, at);
    if (length == 0 || byte < 0x20 || byte == 0x7F) {
      out += {'\\', 'x', kHex[byte >> 4], kHex[byte & 15]};
      ++at;
    } else {
      out += text.substr(at, length);
      at += length;
    }
  }
  if (at < text.size()) out += "...";
  return out;
}

}  // namespace agonic
