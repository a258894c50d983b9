// Planes in their notations: which way they dip, told from strike, convention and dip letter.
#pragma once

#include <optional>

#include "model/reading/reading.hpp"

namespace agonic::reading {

/// Dip direction minus azimuth as read: +90 (right hand), -90 (left hand), 0 (dip direction); empty where nothing tells
/// (a strike without dip in quadrant notation). Refuses a dip letter along the strike (within
/// threshold::kDipLetterDeg), one against the declared hand, and a quadrant strike whose dip has no letter; upright and
/// level ones need none, unless a dip index error tips them over.
/// Conventions: common practice, as in the teaching material listed with the tests (9.1).
Result<std::optional<double>> dip_direction_offset(const Reading& reading);

/// A rake with a letter, measured from the strike end nearest to it, as the rake from the right-hand strike.
/// @param right_hand_strike_deg [0, 360)
Result<double> rake_from_right_hand_strike(const LetteredAngle& rake, double right_hand_strike_deg,
                                           std::string_view raw);

/// A line in a plane.
struct LineInPlane {
  double trend_deg = 0;   ///< [0, 360), from the north of the strike
  double plunge_deg = 0;  ///< [0, 90]
};
/// From right-hand strike, dip [0, 90] and rake [0, 180]: the rake is laid off in the plane, then the plane is tipped
/// about its strike.
LineInPlane line_in_plane(double right_hand_strike_deg, double dip_deg, double rake_deg) noexcept;

}  // namespace agonic::reading
