// A graduated circle turned to the declination: what to set, which way, what is left over, how to check it.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "model/units/date.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

enum class Figures { azimuth, quadrant };  ///< what stands on the circle: 0 to 360, or N E S W quarters of 90
enum class Sense { none, clockwise, counterclockwise };
std::string_view word(Sense sense) noexcept;

/// The circle of an instrument.
struct CircleKind {
  double graduation_deg = 1;  ///< (0, 10]
  Figures figures = Figures::azimuth;
  bool turnable = true;                ///< false: nothing can be set, the declination is added by hand
  Sense east_turn = Sense::clockwise;  ///< which way the circle turns for an easterly declination (common practice)
};

/// What to do with the circle.
struct Setting {
  double set_to_deg = 0;  ///< a multiple of the graduation nearest to D; 0 where the circle cannot be turned
  Sense turn = Sense::none;
  double leftover_deg = 0;            ///< D minus the setting on the first day: add to every reading in the notebook
  double leftover_at_end_deg = 0;     ///< the same on the last day of the span; without one equal to leftover_deg
  double largest_leftover_deg = 0;    ///< of the span, with its sign
  double reads_along_needle_deg = 0;  ///< [0, 360): sighting along the needle, a circle set right reads this
  double reads_if_backwards_deg = 0;  ///< [0, 360): the same if it was set to the wrong side
  std::optional<std::string> holds_until;  ///< last day with |D - setting| <= graduation/2; absent: not even today
  bool holds_to_the_end = false;           ///< the models end before the setting does
};

/// The circle set as near to `aim_deg` as it can be: set_to, the turn from 0, the checks along the needle; nothing of
/// what is left over or how long it holds.
Setting set_for(const CircleKind& circle, double aim_deg);
/// Which way the circle turns from one setting to another, the short way round.
Sense turn_between(const CircleKind& circle, double from_deg, double to_deg);

/// D at a decimal year, degrees east positive; the caller fixes place, height and model.
using DeclinationAt = std::function<double(double decimal_year)>;

/// @param from,until decimal years; `until` absent: set for the date alone, else for the middle of D's range
/// @param last_year the last decimal year for which D can be told
Setting find_setting(const CircleKind& circle, const DeclinationAt& declination, double from,
                     std::optional<double> until, double last_year);

/// An azimuth as the figures of the circle show it: "346" or "N14W".
std::string reads_text(double azimuth_deg, const CircleKind& circle);

/// Decimals that show a multiple of the graduation exactly, at most 3.
int decimals_of(double graduation_deg);

}  // namespace agonic::instrument
