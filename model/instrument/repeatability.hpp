// How well one instrument, with its observer, repeats itself: several sets of readings on several lines.
//
// In the spirit of ISO 17123-1 (theory of field procedures): an experimental standard deviation and a statistical test.
// It is no procedure of that standard, whose parts do not cover hand compasses, and no calibration.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

namespace agonic::instrument {

/// A reading of a line by one instrument; degrees, any north, the same for all of a line.
struct RepeatedReading {
  std::string line;
  double azimuth_deg = 0;
};

struct Repeatability {
  std::size_t lines = 0, readings = 0;   ///< lines read more than once, and the readings of them
  int dof = 0;                           ///< readings minus lines
  double s_deg = 0;                      ///< experimental standard deviation of one reading
  double s_low_deg = 0, s_high_deg = 0;  ///< 95 percent interval of the true one, by chi-square
  std::optional<double> stated_deg;      ///< what it was held against
  std::optional<double> limit_deg;       ///< s may reach this at 95 percent if the stated one is true
  bool as_stated = false;                ///< s <= limit
  std::string statement;                 ///< in words
};

/// @return empty where no line was read twice
std::optional<Repeatability> repeatability(std::span<const RepeatedReading> readings, std::optional<double> stated_deg);

}  // namespace agonic::instrument
