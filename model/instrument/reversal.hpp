// Index errors by reversal: the same line from both ends, the same plane with the clinometer turned end for end.
//
// index = (fore + back) / 2, slope = (fore - back) / 2 with the angles as signed (common practice). On a plane the dip
// read the second way counts as its negative. The curvature of the earth adds 0.004 degree a kilometre of line.
#pragma once

#include <span>
#include <vector>

#include "model/instrument/blunder.hpp"
#include "model/instrument/fit.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

/// A pair of readings, degrees, up positive.
struct ReversedPair {
  double fore_deg = 0, back_deg = 0;
  double sigma_deg = 0.5;  ///< 1-sigma of one reading, > 0
  bool sigma_stated = false;
};

struct PairOutcome {
  double index_deg = 0;     ///< (fore + back) / 2
  double slope_deg = 0;     ///< (fore - back) / 2
  double residual_deg = 0;  ///< its index error minus the fitted one
  bool used = false;
  Blunder blunder = Blunder::none;  ///< vertical_sign or gross
};

struct ReversalFit {
  double index_deg = 0;  ///< reads too high (too steep): positive
  double sigma_deg = 0;
  double scatter_deg = 0;  ///< 1-sigma of one pair's index error by the residuals
  std::size_t used = 0, left_out = 0;
  std::vector<PairOutcome> outcomes;  ///< one a pair, in order
  std::vector<Remark> remarks;
};

/// Both angles of a pair beyond this with the same sign: a sign is lost or the back angle is reversed already.
inline constexpr double kSameSignDeg = 2;

/// Refuses if no pair is left.
Result<ReversalFit> fit_reversal(std::span<const ReversedPair> pairs);

}  // namespace agonic::instrument
