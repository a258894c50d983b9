// Several instruments on the same lines: how far each reads from the others, with no line known.
//
// reading = line + offset of the instrument, the offsets adding up to zero: a two-way layout by least squares. Offsets
// compare the instruments with each other; which one is right, only a known direction tells.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "model/instrument/blunder.hpp"
#include "model/instrument/fit.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

/// A reading of a line: the setting taken off, degrees from the needle.
struct BaselineReading {
  std::string instrument, line;
  double magnetic_deg = 0;
  double sigma_deg = 0.5;
  bool sigma_stated = false;
  double known_deg =
      0;  ///< the line's magnetic azimuth if it is known, the same way for all readings of a line; else 0
};

struct InstrumentOffset {
  std::string instrument;
  double offset_deg = 0;  ///< its readings minus the mean of all instruments, clockwise positive
  double sigma_deg = 0;
  double spread_deg = 0;  ///< standard deviation of its residuals; 0 with one reading
  std::size_t n = 0;      ///< readings used
};

struct BaselineFit {
  std::vector<InstrumentOffset> offsets;  ///< in the order in which they first appear
  double scatter_deg = 0;                 ///< 1-sigma of one reading by the residuals
  int dof = 0;
  std::vector<Outcome> outcomes;  ///< one a reading; index_deg is its reading minus the line's mean
  std::vector<Remark> remarks;
};

/// Instruments differ too much beyond this, degrees (common practice for hand compasses).
inline constexpr double kInstrumentsDifferDeg = 1;
inline constexpr std::size_t kMostUnknowns = 200;

/// Refuses fewer than two instruments, and instruments that no chain of common lines joins.
Result<BaselineFit> fit_baseline(std::span<const BaselineReading> readings);

}  // namespace agonic::instrument
