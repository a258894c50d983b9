// Each shape that the headings allow is fitted robustly; then, from the simple to the rich, the F statistic of the sums
// of squares (residuals beyond the test of outliers counted at its bound) decides whether the next shape is taken. The
// a priori sigma takes part in the denominator, so that readings which agree by chance bring no curve.
#include "model/instrument/fit.hpp"

#include <algorithm>
#include <cmath>

#include "model/instrument/distributions.hpp"
#include "model/instrument/fit_parts.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {

double Observation::index_deg() const noexcept { return wrap_180(reading_deg - set_deg - magnetic_deg); }

std::string_view word(Shape shape) noexcept {
  return shape == Shape::constant ? "constant" : shape == Shape::semicircular ? "semicircular" : "full";
}

double daily_swing_deg(double lat_deg) noexcept {
  const double lat = std::abs(lat_deg);
  return lat < 57 ? 0.1 : lat < 65 ? 0.2 : 0.5;
}

namespace {

constexpr std::array kShapes{Shape::constant, Shape::semicircular, Shape::full};

struct Tried {
  Shape shape = Shape::constant;
  std::vector<Equation> equations;
  RobustSolution robust;
};

// May this shape be looked for at these headings?
bool covered(Shape shape, const std::vector<double>& headings) {
  if (shape == Shape::constant) return true;
  const bool full = shape == Shape::full;
  return headings.size() >= (full ? kFullSightings : kSemicircularSightings) &&
         largest_gap(headings) <= (full ? kFullGapDeg : kSemicircularGapDeg) &&
         headings_apart(headings) >= (full ? kFullHeadings : kSemicircularHeadings);
}

std::vector<double> headings_of(std::span<const Observation> observations, const std::vector<bool>& used) {
  std::vector<double> out;
  for (std::size_t i = 0; i < observations.size(); ++i)
    if (used[i]) out.push_back(wrap_360(observations[i].magnetic_deg));
  return out;
}

// What chance would make of the difference between two shapes: the probability of a larger F.
double chance(const Tried& simple, const Tried& rich, bool stated) {
  double of_simple = 0, of_rich = 0;
  int n = 0;
  const double bound = rich.robust.critical * rich.robust.critical * rich.robust.scale.factor;
  for (std::size_t i = 0; i < simple.equations.size(); ++i) {
    if (!simple.robust.used[i] && !rich.robust.used[i]) continue;
    const auto square = [&](const Tried& tried) {
      const double w = tried.robust.solution.residual(tried.equations[i]) / tried.equations[i].sigma;
      return std::min(w * w, bound);
    };
    of_simple += square(simple);
    of_rich += square(rich);
    ++n;
  }
  const int more = static_cast<int>(rich.shape) - static_cast<int>(simple.shape);
  const double weight = stated ? kStatedSigmaWeight : kUsualSigmaWeight;
  const double dof = weight + n - static_cast<int>(rich.shape);
  if (n <= static_cast<int>(rich.shape)) return 1;
  return f_tail(std::max(0.0, of_simple - of_rich) / more / ((weight + of_rich) / dof), more, dof);
}

IndexCovariance covariance_of(const Tried& tried) {
  IndexCovariance out;
  const auto p = static_cast<std::size_t>(tried.shape);
  const double by = tried.robust.scale.factor * tried.robust.scale.widening * tried.robust.scale.widening;
  for (std::size_t i = 0; i < p; ++i)
    for (std::size_t j = i; j < p; ++j)
      out.upper[IndexCovariance::at(i, j)] =
          by * tried.robust.solution.cofactor(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
  return out;
}

IndexCurve curve_of(const Tried& tried) {
  const auto& x = tried.robust.solution.parameters;
  IndexCurve curve;
  curve.a = wrap_180(x(0));
  if (tried.shape != Shape::constant) curve.b = x(1), curve.c = x(2);
  if (tried.shape == Shape::full) curve.d = x(3), curve.e = x(4);
  return curve;
}

std::string rule_of(const Tried& taken, const std::vector<Tried>& tried, const std::vector<double>& headings) {
  if (tried.size() == 1)
    return "one number: " + std::to_string(headings.size()) + (headings.size() == 1 ? " sighting" : " sightings") +
           ", the largest gap between headings " + format_fixed(largest_gap(headings), 0) +
           " degrees; a curve needs at least " + std::to_string(kSemicircularSightings) + " with no gap above " +
           format_fixed(kSemicircularGapDeg, 0) + ", all of A to E " + std::to_string(kFullSightings) +
           " with none above " + format_fixed(kFullGapDeg, 0);
  if (taken.shape == Shape::constant)
    return "one number: a curve would fit no better than chance allows (F test at 1 percent)";
  return std::string(taken.shape == Shape::full ? "the curve A to E" : "the curve A, B, C") +
         ": it fits better than the simpler ones by more than chance allows (F test at 1 percent)";
}

void judge(const Tried& taken, std::span<const Observation> observations, AzimuthFit& fit) {
  for (std::size_t i = 0; i < observations.size(); ++i) {
    const Observation& o = observations[i];
    Outcome outcome;
    outcome.index_deg = o.index_deg();
    outcome.sigma_deg = o.sigma_deg;
    outcome.used = taken.robust.used[i];
    const double expected = fit.curve.at(o.magnetic_deg);
    outcome.residual_deg = wrap_180(outcome.index_deg - expected);
    ++(outcome.used ? fit.used : fit.left_out);
    if (!outcome.used) {
      std::vector<Explanation> mistakes{{Blunder::wrong_end, outcome.index_deg + 180},
                                        {Blunder::mirror_figures, 360 - o.reading_deg - o.set_deg - o.magnetic_deg}};
      mistakes.insert(mistakes.end(), o.mistakes.begin(), o.mistakes.end());
      const double tolerance = taken.robust.critical * taken.robust.predicted_sigma(taken.equations[i]);
      outcome.or_else = explain(mistakes, expected, outcome.residual_deg, tolerance);
      outcome.blunder = outcome.or_else.empty() ? Blunder::gross : outcome.or_else.front();
      if (!outcome.or_else.empty()) outcome.or_else.erase(outcome.or_else.begin());
    }
    fit.outcomes.push_back(std::move(outcome));
  }
}

}  // namespace

Result<AzimuthFit> fit_azimuth(std::span<const Observation> observations, const FitContext& context) {
  if (observations.empty())
    return Problem{Code::missing_value, "azimuth", "", "there is no sighting of a known direction", "Add some"};
  std::vector<double> indices;
  for (const Observation& o : observations) indices.push_back(o.index_deg());
  const Agreement agreement = agreement_of(indices);
  if (2 * agreement.members.size() <= observations.size() && observations.size() > 1) return disagreement(observations);
  const bool stated =
      std::all_of(observations.begin(), observations.end(), [](const Observation& o) { return o.sigma_stated; });

  std::vector<Tried> tried;
  for (const Shape shape : kShapes) {
    if (!covered(shape, headings_of(observations, std::vector<bool>(observations.size(), true)))) continue;
    Tried one;
    one.shape = shape;
    for (std::size_t i = 0; i < observations.size(); ++i)
      one.equations.push_back(equation_of(observations[i], agreement.centre_deg, static_cast<int>(shape)));
    one.robust = robust_least_squares(one.equations, agreement.members, stated);
    if (one.robust.solution.dof < 0) continue;
    if (shape != Shape::constant && !covered(shape, headings_of(observations, one.robust.used))) continue;
    tried.push_back(std::move(one));
  }
  std::size_t taken = 0;
  for (std::size_t next = 1; next < tried.size(); ++next)
    if (chance(tried[taken], tried[next], stated) < kCurveChance) taken = next;

  const Tried& chosen = tried[taken];
  AzimuthFit fit;
  fit.shape = chosen.shape;
  fit.curve = curve_of(chosen);
  fit.of_sightings = fit.covariance = covariance_of(chosen);
  double& constant = fit.covariance.upper[0];
  constant += context.common_sigma_deg * context.common_sigma_deg;
  constant = std::max(constant, context.floor_sigma_deg * context.floor_sigma_deg);
  judge(chosen, observations, fit);
  fit.dof = chosen.robust.solution.dof;
  const auto headings = headings_of(observations, chosen.robust.used);
  fit.largest_gap_deg = largest_gap(headings);
  fit.rule = rule_of(chosen, tried, headings);
  if (fit.dof > 0) {
    double sum = 0;
    for (const Outcome& outcome : fit.outcomes)
      if (outcome.used) sum += outcome.residual_deg * outcome.residual_deg;
    fit.scatter_deg = std::sqrt(sum / fit.dof);
  }
  add_remarks(observations, context, stated, fit);
  return fit;
}

}  // namespace agonic::instrument
