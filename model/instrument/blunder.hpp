// The mistakes that people make with a compass, by name.
#pragma once

#include <string_view>
#include <vector>

namespace agonic::instrument {

/// What an observation that was left out looks like.
enum class Blunder {
  none,
  wrong_end,         ///< the wrong end of the needle, or the line looked along the other way: 180 off
  mirror_figures,    ///< a dial whose figures run the other way: 360 - x
  setting_sign,      ///< the circle was set to the other side than noted
  setting_absent,    ///< the circle was not set, although it was noted
  declination_sign,  ///< the known azimuth got the declination with the wrong sign
  known_magnetic,    ///< the known azimuth is a magnetic one
  clock_hour,        ///< the clock was an hour off, or local time was taken for UTC
  vertical_sign,     ///< fore or back vertical angle without its sign
  gross,             ///< none of these: misread, miswritten, another line
};
std::string_view word(Blunder blunder) noexcept;
/// What it means and what to do, as a full sentence.
std::string_view meaning(Blunder blunder) noexcept;

/// What reading minus truth would be if a certain mistake had been made.
struct Explanation {
  Blunder blunder = Blunder::none;
  double index_deg = 0;
};

/// Of the explanations whose error is within `tolerance` of `expected_deg` and takes at least two thirds of the
/// `residual` away, the nearest first; empty if there is none.
std::vector<Blunder> explain(const std::vector<Explanation>& explanations, double expected_deg, double residual_deg,
                             double tolerance_deg);

}  // namespace agonic::instrument
