// Degrees, minutes and seconds as people write them.
#pragma once

#include <string>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic {

/// An angle as written, with what it was written in.
struct Sexagesimal {
  double degrees = 0;  ///< any size; -0.0 where a minus stood before zero
  bool had_minutes = false;
  bool had_seconds = false;
};

/// The signs for degrees (º ° ˚), minutes (' ′ ’ and the like), seconds (" ″ ” and two single quotes), the
/// typographic minus and the unbreakable spaces as the ASCII characters * ' " - and space; all else unchanged.
/// A Latin-1 byte for the degree sign counts where it cannot be part of UTF-8, that is after an ASCII character.
std::string ascii_angle(std::string_view text);

/// Reads degrees with or without minutes and seconds, with or without a sign: `71.35`, `13°42'30"`, `13 42 30`,
/// `13:42:30`, `13d42m30s`, `30'`. Letters for directions are the caller's. Only the last part may have a fraction, and
/// a sign holds for the whole, also before zero degrees.
/// @param text what was written; also in the ASCII form of ascii_angle()
/// @param mark the decimal mark, '.' or ','
/// @param field the name of the input in a problem
/// @returns Code::sixtieths for minutes or seconds of 60 and more, with both readings; else Code::not_a_number.
///   No range is held: that is the caller's.
Result<Sexagesimal> parse_degrees(std::string_view text, char mark, std::string_view field);

}  // namespace agonic
