// The declination note in a map's margin: `8°40'W 2009, 1'W a year`.
#pragma once

#include <optional>
#include <string_view>

#include "model/units/declination_text.hpp"
#include "model/units/problem.hpp"

namespace agonic {

/// What such a note says.
struct MapNote {
  double declination_deg = 0;      ///< in the year of the note, east positive
  double year = 0;                 ///< decimal; a bare year means its middle
  double change_deg_per_year = 0;  ///< toward east positive
  /// The note's own answer, by its straight line.
  [[nodiscard]] double at(double decimal_year) const {
    return declination_deg + change_deg_per_year * (decimal_year - year);
  }
};

/// Does the text hold more than a declination, so that it is to be read as a note?
bool looks_like_map_note(std::string_view text) noexcept;

/// Reads `<declination> <year>[, <change> a year]`. The change needs its unit (1' and 1° look alike when it is left
/// out) and a side or sign; without one it is refused.
Result<MapNote> parse_map_note(std::string_view text, const DeclinationReading& how);

}  // namespace agonic
