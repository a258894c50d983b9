// A closed figure by its included angles, in which local attraction cancels: both arms of an angle are read at one
// station. Common practice in compass surveying; the sum of n interior angles is 180 (n - 2) degrees.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/survey/local_attraction.hpp"

namespace agonic::survey {

struct IncludedAngle {
  std::string station;
  double read_deg = 0;      ///< interior, [0, 360)
  double adjusted_deg = 0;  ///< with its share of the misclosure; as read where the figure is not adjusted
};

struct ClosedFigure {
  bool clockwise = false;             ///< the way the lines run round it
  std::vector<IncludedAngle> angles;  ///< at the station where each line begins; empty where a back azimuth is missing
  double sum_deg = 0;
  double should_be_deg = 0;   ///< 180 (n - 2)
  double misclosure_deg = 0;  ///< sum minus what it should be
  double limit_deg = 0;       ///< beyond: not adjusted
  bool adjusted = false;      ///< the angles share the misclosure equally
  /// Sum of back - fore - 180 round the figure: zero where attraction alone makes the differences.
  double difference_sum_deg = 0;
  std::optional<std::size_t> held_leg;  ///< the line whose azimuth was kept: its ends are free and agree best
  std::vector<double> azimuths_deg;     ///< by angles from the held line, one a leg, [0, 360); empty without one
};

/// The legs as one closed figure: each begins where the one before ended, the last ends where the first began, no
/// station is passed twice, three lines at least. Empty for anything else.
std::optional<ClosedFigure> closed_figure(std::span<const Leg> legs, const LocalAttraction& attraction);

}  // namespace agonic::survey
