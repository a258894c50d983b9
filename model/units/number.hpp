// Numbers as text, the same in every locale.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace agonic {

/// A finite decimal number, whole text, sign allowed; no hexadecimal, no infinity, no thousands marks.
/// @param mark the decimal mark, '.' or ','
std::optional<double> parse_number(std::string_view text, char mark = '.') noexcept;

/// Fixed decimals, exact ties to even as printf; never "-0.000".
std::string format_fixed(double value, int decimals);
/// An azimuth in [0, 360) with fixed decimals: what rounds to 360 prints as 0.
std::string format_azimuth(double degrees, int decimals = 3);
/// Up to `decimals`, trailing zeros dropped: "75", "74.877".
std::string format_trimmed(double value, int decimals = 3);

std::string_view trim(std::string_view text) noexcept;
std::string lower(std::string_view text);
bool starts_with_nocase(std::string_view text, std::string_view prefix) noexcept;
/// One letter more, less or other; a digit too many or in its place does not count.
bool one_letter_off(std::string_view a, std::string_view b) noexcept;
/// Control characters, quotes and bytes that are no UTF-8 as \xNN, cut after `limit` bytes: safe to show.
std::string printable(std::string_view text, std::size_t limit = 80);

}  // namespace agonic
