// A constant by the robust least squares of the azimuths; a pair's index error has half the variance of a reading.
#include "model/instrument/reversal.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "model/instrument/least_squares.hpp"

namespace agonic::instrument {
namespace {

bool same_sign(const ReversedPair& pair) {
  return pair.fore_deg * pair.back_deg > 0 && std::min(std::abs(pair.fore_deg), std::abs(pair.back_deg)) > kSameSignDeg;
}

}  // namespace

Result<ReversalFit> fit_reversal(std::span<const ReversedPair> pairs) {
  std::vector<Equation> equations;
  std::vector<std::size_t> candidates;
  ReversalFit fit;
  bool stated = true;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const ReversedPair& pair = pairs[i];
    Equation equation;
    equation.design.resize(1, 1);
    equation.design(0) = 1;
    equation.value = (pair.fore_deg + pair.back_deg) / 2;
    equation.sigma = pair.sigma_deg / std::numbers::sqrt2;
    equations.push_back(equation);
    stated = stated && pair.sigma_stated;
    if (!same_sign(pair)) candidates.push_back(i);
    fit.outcomes.push_back({equation.value, (pair.fore_deg - pair.back_deg) / 2});
  }
  const RobustSolution robust = robust_least_squares(equations, candidates, stated);
  if (robust.solution.dof < 0)
    return Problem{Code::contradiction, "vertical_back", "",
                   "no pair of angles is left: of each both have the same sign",
                   "Give the back angle as read, up positive; on one line it is about minus the fore angle"};
  fit.index_deg = robust.solution.parameters(0);
  fit.sigma_deg = std::sqrt(robust.scale.factor * robust.solution.cofactor(0, 0)) * robust.scale.widening;
  double sum = 0;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    PairOutcome& outcome = fit.outcomes[i];
    outcome.residual_deg = outcome.index_deg - fit.index_deg;
    outcome.used = robust.used[i];
    ++(outcome.used ? fit.used : fit.left_out);
    if (outcome.used) {
      sum += outcome.residual_deg * outcome.residual_deg;
      continue;
    }
    // With one of the signs turned, the half difference takes the place of the half sum.
    const double tolerance = robust.critical * robust.predicted_sigma(equations[i]);
    const bool lost =
        same_sign(pairs[i]) && std::abs(std::abs(outcome.slope_deg) - std::abs(fit.index_deg)) <= tolerance;
    outcome.blunder = lost ? Blunder::vertical_sign : Blunder::gross;
  }
  if (robust.solution.dof > 0) fit.scatter_deg = std::sqrt(sum / robust.solution.dof);
  if (fit.used == 1) fit.remarks.push_back({"one-pair", "One pair cannot show a mistake: take at least three."});
  if (std::abs(fit.index_deg) > kLargeConstantDeg)
    fit.remarks.push_back({"vertical-large",
                           "An index error of more than 5 degrees: is the clinometer's scale or level "
                           "loose, or were eye and target not at the same height?"});
  return fit;
}

}  // namespace agonic::instrument
