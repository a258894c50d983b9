// Directions, dips and inclined angles as they stand in notebooks.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "model/units/declination_text.hpp"
#include "model/units/problem.hpp"

namespace agonic::reading {

/// How texts are read in this batch.
struct TextRules {
  char decimal_mark = '.';
  LetterO letter_o = LetterO::undeclared;
};

enum class AzimuthUnit { deg, gon, mil6400, mil6300, mil6000 };
Result<AzimuthUnit> parse_azimuth_unit(std::string_view text);

enum class VerticalUnit { deg, gon, percent };
Result<VerticalUnit> parse_vertical_unit(std::string_view text);

/// How a direction was written, so that it can be written the same way again.
struct AzimuthStyle {
  bool quadrant = false;
  bool minutes = false, seconds = false;
};

struct AzimuthText {
  double degrees = 0;  ///< [0, 360]
  AzimuthStyle style;
  double step_deg = 1;  ///< the coarsest usual division that it is a whole number of: how finely it was written
};

/// `100`, `100°30'`, `N35E`, `S85°30'E`, `E`. Refuses what lies outside a full circle of the unit and quadrant
/// angles above 90.
Result<AzimuthText> parse_azimuth(std::string_view text, AzimuthUnit unit, const TextRules& rules);

/// A direction as a quadrant bearing in the given style: 75 -> "N75E", 95 -> "S85E". Up to 3 decimals, or whole
/// minutes (seconds) where the style has them.
std::string quadrant_text(double azimuth_deg, const AzimuthStyle& style);

/// One of 16 compass points as an azimuth; empty if it is none.
std::optional<double> compass_point(std::string_view letters, LetterO letter_o) noexcept;
/// The nearest of the 8 principal points.
std::string_view nearest_point(double azimuth_deg) noexcept;

/// A dip or rake with an optional letter: `40`, `40SE`.
struct LetteredAngle {
  double degrees = 0;
  std::optional<double> toward_deg;  ///< the letter as an azimuth
  std::string letters;               ///< as written
};
/// @param field `dip` or `rake`
Result<LetteredAngle> parse_lettered(std::string_view text, std::string_view field, const TextRules& rules);

/// A plunge or vertical angle, converted to degrees; a slope in percent is atan(p / 100). Range unchecked.
Result<double> parse_inclined(std::string_view text, VerticalUnit unit, std::string_view field, const TextRules& rules);

}  // namespace agonic::reading
