// By how much an old survey is turned against what stands on the ground: from lines found again.
//
// The median and the median absolute deviation (F. R. Hampel 1974, doi:10.1080/01621459.1974.10482962) name outliers
// before a mean is taken.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::survey {

/// One line in the old record and as found, degrees clockwise from the north of each.
struct LinePair {
  double old_deg = 0, found_deg = 0;
};

struct PairFinding {
  double rotation_deg = 0;  ///< found minus old, (-180, 180]
  double residual_deg = 0;  ///< that minus the rotation of all
  bool outlier = false;
};

struct Rotation {
  double rotation_deg = 0;  ///< mean of the pairs that are no outliers, (-180, 180]: add it to an old direction
  std::size_t used = 0;
  std::optional<double> spread_deg;          ///< 1-sigma of one pair; two pairs at least
  std::optional<double> standard_error_deg;  ///< of the rotation: spread / sqrt(used)
  std::vector<PairFinding> pairs;            ///< one a pair, in order
};

/// Refuses no pairs, and pairs so contrary that they have no mean. Field "pairs".
Result<Rotation> rotation_of(std::span<const LinePair> pairs);

/// What a found corner says: a line rerun by its old direction came out beside the old corner.
/// @param offset from the end of the rerun line to the corner, square to it, right positive
/// @param length of the line, > 0, same unit
/// @return the angle to add to the direction that was run, (-90, 90)
double turn_of_offset(double offset, double length) noexcept;

}  // namespace agonic::survey
