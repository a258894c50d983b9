// The time behaviours: from a date to the weights of coefficient sets.
//
// Splines: de Boor 1978, A Practical Guide to Splines, chapters IX and X (the recurrence of the B-splines). It is run
// once an interval on the polynomials of the B-splines instead of on their values, so that a date costs four cubics.

#include <algorithm>

#include "model/field/coefficients.hpp"

namespace agonic::field {
namespace {

constexpr std::size_t kOrder = 4;  // cubic

// Finds the interval i with times[i] <= year < times[i + 1], kept within [first, last]. It starts where the interval
// would be if all were equally long, which they nearly always are: a search would cost a tenth of the field.
class Intervals {
 public:
  Intervals(const std::vector<double>& times, std::size_t first, std::size_t last)
      : time_(times.data()),
        first_(first),
        last_(last),
        most_(static_cast<double>(last - first)),
        per_year_((most_ + 1) / (times[last + 1] - times[first])) {}
  [[nodiscard]] std::size_t of(double year) const {
    const double guess = std::min((year - time_[first_]) * per_year_, most_);
    std::size_t i = first_ + (guess > 0 ? static_cast<std::size_t>(guess) : 0);
    while (i < last_ && time_[i + 1] <= year) ++i;
    while (i > first_ && time_[i] > year) --i;
    return i;
  }
  [[nodiscard]] std::size_t first() const { return first_; }

 private:
  const double* time_;
  std::size_t first_, last_;
  double most_, per_year_;
};

// Of a model of more than one piece.
Intervals intervals(const CoefficientSet& model) {
  if (model.behaviour == TimeBehaviour::piecewise) return {model.times, 0, model.times.size() - 2};
  return {model.times, kOrder - 1, model.times.size() - kOrder - 1};
}

using Cubic = std::array<double, kOrder>;

// target += (constant + slope * x) * polynomial, of which the highest power is 0.
void add_product(Cubic& target, const Cubic& polynomial, double constant, double slope) {
  for (std::size_t p = 0; p < kOrder; ++p) {
    target[p] += constant * polynomial[p];
    if (p > 0) target[p] += slope * polynomial[p - 1];
  }
}

// The four cubic B-splines over [knots[i], knots[i + 1]] in powers of year - knots[i].
std::array<Cubic, kOrder> cubic_splines(const std::vector<double>& knots, std::size_t i) {
  // value[j] is the B-spline of the current order that starts at knot i - order + 1 + j.
  std::array<Cubic, kOrder> value{};
  value[0][0] = 1;
  for (std::size_t order = 2; order <= kOrder; ++order) {
    const std::array<Cubic, kOrder> lower = value;
    value = {};
    for (std::size_t j = 0; j + 1 < order; ++j) {
      const double left = knots[i + 2 + j - order];
      const double right = knots[i + 1 + j];
      const double span = right - left;
      add_product(value[j], lower[j], (right - knots[i]) / span, -1 / span);
      add_product(value[j + 1], lower[j], (knots[i] - left) / span, 1 / span);
    }
  }
  return value;
}

}  // namespace

TimeWeights TimePiece::at(double decimal_year) const {
  TimeWeights w{.first = first, .count = count};
  const double x = decimal_year - origin;
  for (std::size_t k = 0; k < count; ++k) {
    const auto& c = power[k];
    w.weight[k] = ((c[3] * x + c[2]) * x + c[1]) * x + c[0];
    w.rate[k] = (3 * c[3] * x + 2 * c[2]) * x + c[1];
  }
  return w;
}

std::size_t CoefficientSet::piece_count() const {
  if (behaviour == TimeBehaviour::linear || times.size() < 2) return 1;
  return behaviour == TimeBehaviour::piecewise ? times.size() - 1 : times.size() - 2 * kOrder + 1;
}

std::size_t CoefficientSet::piece_of(double decimal_year) const {
  if (piece_count() == 1) return 0;
  const Intervals found = intervals(*this);
  return found.of(decimal_year) - found.first();
}

void CoefficientSet::pieces_of(std::span<const double> decimal_years, std::span<std::uint32_t> out) const {
  if (piece_count() == 1) {
    std::fill(out.begin(), out.end(), 0);
    return;
  }
  const Intervals found = intervals(*this);
  for (std::size_t i = 0; i < out.size(); ++i) {
    out[i] = static_cast<std::uint32_t>(found.of(decimal_years[i]) - found.first());
  }
}

TimePiece CoefficientSet::piece(std::size_t index) const {
  TimePiece piece{.origin = epoch, .first = index, .count = 2};
  if (behaviour == TimeBehaviour::spline) {
    piece.count = kOrder;
    piece.origin = times[index + kOrder - 1];
    piece.power = cubic_splines(times, index + kOrder - 1);
  } else if (behaviour == TimeBehaviour::piecewise) {
    piece.origin = times[index];
    piece.power[0][0] = 1;
    if (times.size() < 2) {
      piece.count = 1;
    } else {
      const double span = times[index + 1] - times[index];
      piece.power[0][1] = -1 / span;
      piece.power[1][1] = 1 / span;
    }
  } else {
    piece.power[0][0] = 1;
    piece.power[1][1] = 1;
  }
  return piece;
}

TimeWeights CoefficientSet::weights(double decimal_year) const {
  return piece(piece_of(decimal_year)).at(decimal_year);
}

}  // namespace agonic::field
