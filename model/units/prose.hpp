// Prose for a terminal, and words that were meant.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace agonic {

/// Letters as seen: the bytes that go on a UTF-8 letter do not count.
std::size_t width_of(std::string_view text) noexcept;

/// Lines of at most `width` letters with their ends; a longer word has a line to itself.
/// @param first what the first line begins with; @param rest what the others begin with
std::string wrapped(std::string_view text, std::string_view first, std::string_view rest, std::size_t width);

/// Letters to change, add or drop to come from one word to the other (Levenshtein 1966).
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The name nearest to a word, if it is near enough to be a slip: at most three letters off, and half of the word.
/// Empty if none is.
std::string_view nearest_name(std::string_view word, std::span<const std::string_view> names);

}  // namespace agonic
