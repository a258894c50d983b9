// Declination as people write it: always with its side.
#pragma once

#include <string>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic {

/// What an unsigned number without a letter means: in a column or JSON it is east; typed by a person it is refused.
enum class UnsignedMeans { east, refused };

/// How the letter O is read: west (oeste, ouest, ovest) or east (Ost, oost). Undeclared: refused with both.
enum class LetterO { undeclared, west, east };

struct DeclinationReading {
  std::string_view field;  ///< named in problems
  UnsignedMeans unsigned_means = UnsignedMeans::east;
  LetterO letter_o = LetterO::undeclared;
  char decimal_mark = '.';
};

/// Reads `13.7W`, `W13.7`, `13°42'W`, `-13.7`, `+13.7`, `0`, and our own `13.69 W (-13.69)`.
/// @return degrees, east positive, [-180, 180]. A sign beside a letter is refused unless both say east.
Result<double> parse_declination(std::string_view text, const DeclinationReading& how);

/// "13.69 W (-13.69)", "10.00 E (+10.00)", "0.00 (0.00)": ASCII, both ways.
std::string declination_text(double degrees, int decimals = 2);
/// "13.69 W": where the number stands beside it anyway.
std::string declination_side_text(double degrees, int decimals = 2);

}  // namespace agonic
