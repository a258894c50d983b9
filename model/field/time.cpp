// The time behaviours: from a date to the weights of coefficient sets.
//
// Splines: de Boor 1978, A Practical Guide to Splines, chapters IX and X (the recurrence of the B-splines and
// their derivative as a difference of those of one order less).

#include <algorithm>

#include "model/field/coefficients.hpp"

namespace agonic::field {
namespace {

// The interval i with times[i] <= year < times[i + 1], kept within [first, last].
std::size_t interval(const std::vector<double>& times, double year, std::size_t first, std::size_t last) {
  const auto above = std::upper_bound(times.begin(), times.end(), year);
  const auto index = static_cast<std::size_t>(above - times.begin());
  return std::clamp(index == 0 ? 0 : index - 1, first, last);
}

TimeWeights piecewise(const std::vector<double>& times, double year) {
  TimeWeights w;
  if (times.size() == 1) {
    w.count = 1;
    w.weight[0] = 1;
    return w;
  }
  w.first = interval(times, year, 0, times.size() - 2);
  w.count = 2;
  const double span = times[w.first + 1] - times[w.first];
  const double part = (year - times[w.first]) / span;
  w.weight = {1 - part, part, 0, 0};
  w.rate = {-1 / span, 1 / span, 0, 0};
  return w;
}

TimeWeights cubic_spline(const std::vector<double>& knots, double year) {
  constexpr std::size_t kOrder = 4;
  const std::size_t splines = knots.size() - kOrder;
  const std::size_t i = interval(knots, year, kOrder - 1, splines - 1);
  // value[j] is the B-spline of the current order that starts at knot i - order + 1 + j.
  std::array<double, kOrder> value{1, 0, 0, 0};
  std::array<double, kOrder> lower{};  // of order 3, for the derivative
  for (std::size_t order = 2; order <= kOrder; ++order) {
    lower = value;
    value = {};
    for (std::size_t j = 0; j + 1 < order; ++j) {
      const double left = knots[i + 2 + j - order];
      const double right = knots[i + 1 + j];
      const double share = lower[j] / (right - left);
      value[j] += (right - year) * share;
      value[j + 1] += (year - left) * share;
    }
  }
  TimeWeights w;
  w.first = i + 1 - kOrder;
  w.count = kOrder;
  w.weight = value;
  for (std::size_t j = 0; j + 1 < kOrder; ++j) {
    const double slope = 3 * lower[j] / (knots[i + 1 + j] - knots[i + j - 2]);
    w.rate[j] -= slope;
    w.rate[j + 1] += slope;
  }
  return w;
}

}  // namespace

TimeWeights CoefficientSet::weights(double decimal_year) const {
  switch (behaviour) {
    case TimeBehaviour::piecewise:
      return piecewise(times, decimal_year);
    case TimeBehaviour::spline:
      return cubic_spline(times, decimal_year);
    case TimeBehaviour::linear:
      break;
  }
  return {.first = 0, .count = 2, .weight = {1, decimal_year - epoch, 0, 0}, .rate = {0, 1, 0, 0}};
}

}  // namespace agonic::field
