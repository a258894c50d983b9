// Inside of the drawings only: the letters of a text, damaged ones replaced.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace agonic::paper {

inline constexpr char32_t kReplacement = 0xFFFD;

/// The code point at `at`, which moves behind it; kReplacement for a byte that begins no UTF-8 sequence and for what
/// XML 1.0 knows no character for (section 2.2: control characters, surrogates, U+FFFE, U+FFFF).
/// @param at less than text.size()
char32_t next_letter(std::string_view text, std::size_t& at) noexcept;

/// As UTF-8.
void append_utf8(char32_t letter, std::string& out);

/// The text with every such byte and character replaced: valid UTF-8, valid in XML, without line breaks and tabs.
std::string clean(std::string_view text);

}  // namespace agonic::paper
