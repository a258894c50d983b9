// Coordinates of a traverse from azimuths and lengths, and how well it closes: as measured, by the compass rule and by
// least squares, side by side.
//
// The compass rule (N. Bowditch, 1808) and least squares by observation equations: any text on adjustment, as
// C. D. Ghilani, Adjustment Computations (2017), doi:10.1002/9781119390664.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/survey/local_attraction.hpp"
#include "model/units/problem.hpp"

namespace agonic::survey {

/// How well azimuths and lengths are known, for least squares.
struct Precision {
  double azimuth_sigma_deg = 0.5;     ///< 1-sigma of a line, (0, 45]; the default is judgement for a hand compass
  double length_sigma_percent = 0.2;  ///< 1-sigma of a level length, (0, 50]; the default is judgement for a tape
};

/// Metres from the first station. East and north are those of the azimuths' north.
struct Point {
  double east_m = 0, north_m = 0, up_m = 0;
};

struct StationCoordinates {
  std::string station;
  Point measured;                      ///< along the lines in their order
  std::optional<Point> compass_rule;   ///< of one closed figure
  std::optional<Point> least_squares;  ///< where lines are more than it takes, and not too entangled
};

struct Coordinates {
  std::vector<StationCoordinates> stations;  ///< those that lines with azimuth and length tie to the first
  std::size_t lines = 0;                     ///< used
  double length_m = 0;                       ///< sum of their level lengths
  bool closed = false;                       ///< one figure: misclosure and compass rule are there
  Point misclosure;                          ///< end minus start
  double misclosure_m = 0;                   ///< level
  std::size_t redundancy = 0;                ///< level observations beyond those needed
  /// Least squares: sqrt(weighted sum of squares / redundancy). About 1 where the precision given is the true one.
  std::optional<double> unit_sigma;
};

/// @param azimuths_deg one a leg; legs without one or without a length are left out
/// @param closed the legs are one closed figure (closed_figure())
/// Refuses a precision out of its range. Empty, without problem, where no line can be used.
Result<std::optional<Coordinates>> coordinates(std::span<const Leg> legs,
                                               std::span<const std::optional<double>> azimuths_deg, bool closed,
                                               const Precision& precision);

}  // namespace agonic::survey
