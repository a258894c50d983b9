// Settings of a circle along a route: the fewest that keep every piece within a tolerance, and the best single one.
//
// Fewest: a run of pieces can share one setting when some multiple of the graduation is within the tolerance of the
// declination all along it. If a run can, every run inside it can too (the same multiple serves). So let the first
// setting reach as far as any can, then the next from there: by induction no other plan is ever further on after as
// many settings (its k-th run begins no later than this one's and so, cut at the front, could reach no further than
// this one's does), and hence none needs fewer.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "model/instrument/setting.hpp"

namespace agonic::route {

/// The declination over one piece of the way: from `from_deg` to `to_deg` the short way round. A stop alone: equal.
struct Piece {
  double from_deg = 0, to_deg = 0;  ///< (-180, 180]
};

/// Pieces that share one setting.
struct Stretch {
  std::size_t first = 0, last = 0;   ///< pieces, both included
  instrument::Setting setting;       ///< turn: from the setting before, at first from 0
  double low_deg = 0, high_deg = 0;  ///< range of the declination, low in (-180, 180], high from there eastward
  double largest_leftover_deg = 0;   ///< declination minus setting, with its sign
};

/// The fewest settings, in order; together they hold every piece. For a circle that cannot be turned: the fewest
/// numbers to add by hand, which are multiples of the graduation as well.
/// @param tolerance_deg [graduation/2, 45], so that a single stop always has a setting
/// A piece in which the declination turns by more than 2 * tolerance has no setting at all: it is left out, and what
/// comes behind it begins a new stretch.
std::vector<Stretch> fewest_settings(const instrument::CircleKind& circle, double tolerance_deg,
                                     std::span<const Piece> pieces);

/// The one setting whose largest leftover is least: the middle of the smallest arc that holds every declination.
/// @param declinations_deg at least one, (-180, 180]
struct OneSetting {
  instrument::Setting setting;
  double low_deg = 0, high_deg = 0;  ///< the arc: low in (-180, 180], high from there eastward
  double largest_leftover_deg = 0;
  std::size_t at = 0;  ///< where it is left
};
OneSetting one_setting(const instrument::CircleKind& circle, std::span<const double> declinations_deg);

}  // namespace agonic::route
