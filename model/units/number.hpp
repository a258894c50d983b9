// Numbers as text, the same in every locale.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace agonic {

/// A finite decimal number, whole text, sign allowed; no hexadecimal, no infinity, no thousands marks.
/// @param mark the decimal mark, '.' or ','
std::optional<double> parse_number(std::string_view text, char mark = '.') noexcept;

/// The plainest numbers, up to 15 characters: figures with at most one mark between them and at most a minus before.
/// The same value as parse_number() gives; empty for every other text, a number or not.
std::optional<double> plain_decimal(std::string_view text, char mark) noexcept;

/// Fixed decimals, exact ties to even as printf; never "-0.000".
std::string format_fixed(double value, int decimals);
/// An azimuth in [0, 360) with fixed decimals: what rounds to 360 prints as 0.
std::string format_azimuth(double degrees, int decimals = 3);
/// Up to `decimals`, trailing zeros dropped: "75", "74.877".
std::string format_trimmed(double value, int decimals = 3);

/// Without the white space of ASCII at both ends.
inline std::string_view trim(std::string_view text) noexcept {
  const auto space = [](char c) { return c == ' ' || (c >= '\t' && c <= '\r'); };
  while (!text.empty() && space(text.front())) text.remove_prefix(1);
  while (!text.empty() && space(text.back())) text.remove_suffix(1);
  return text;
}
std::string lower(std::string_view text);
/// Is it this word, in whatever case? `word` is in lower case.
bool is_word(std::string_view text, std::string_view word) noexcept;
bool starts_with_nocase(std::string_view text, std::string_view prefix) noexcept;
/// One letter more, less or other; a digit too many or in its place does not count.
bool one_letter_off(std::string_view a, std::string_view b) noexcept;
/// Control characters, quotes and bytes that are no UTF-8 as \xNN, cut after `limit` bytes: safe to show.
std::string printable(std::string_view text, std::size_t limit = 80);

}  // namespace agonic
