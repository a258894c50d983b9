// The coefficients in the order and scale in which the kernel uses them: equations (3), (7) and (8) of kernel.cpp.

#include <algorithm>
#include <array>
#include <cmath>

#include "model/field/coefficients.hpp"

namespace agonic::field {
namespace {

// s(n,m) of equation (3) for one m: entry n - m.
std::vector<double> schmidt_factors(int m, int degree, double sectoral) {
  std::vector<double> s{sectoral};
  for (int n = m + 1; n <= degree; ++n)
    s.push_back(s.back() * (2 * n - 1) / std::sqrt(static_cast<double>(n * n - m * m)));
  return s;
}

// s(m,m) / s(m-1,m-1), equation (3).
double sectoral_step(int m) { return std::sqrt((2.0 * m - 1) / (2.0 * m)); }

// sqrt(n(n+1)/2), equation (6).
double zonal_factor(int n) { return std::sqrt(n * (n + 1) / 2.0); }

// A spline model's coefficients over one piece of time, in the order of use: for m = 0 the cubic of (n+1) G a step; for
// m >= 1 the numbers n+1 and -(2n+1), the cubics of G and of the same with h, and for m = 1 that of the term of E, in
// equation (9). A cubic is four numbers, the lowest power first.
std::vector<double> cubics(const CoefficientSet& model, const TimePiece& piece) {
  std::vector<double> stream;
  const auto put = [&](double factor, std::size_t value) {
    std::array<double, 4> sum{};
    for (std::size_t k = 0; k < piece.count; ++k) {
      for (std::size_t p = 0; p < 4; ++p) sum[p] += piece.power[k][p] * model.sets[piece.first + k][value];
    }
    for (const double c : sum) stream.push_back(factor * c);
  };
  double sectoral = 1;
  for (int m = 0; m <= model.degree; ++m) {
    if (m >= 2) sectoral *= sectoral_step(m);
    const std::vector<double> s = schmidt_factors(m, model.degree, sectoral);
    for (int n = m; n <= model.degree; ++n) {
      const double factor = s[static_cast<std::size_t>(n - m)];
      if (m == 0) {
        put(n == 0 ? 0 : (n + 1) * factor, value_index(std::max(n, 1), 0));
        continue;
      }
      stream.push_back(n + 1);
      stream.push_back(-(2 * n + 1));
      put(factor, value_index(n, m));
      put(factor, value_index(n, m) + 1);
      if (m == 1) put(zonal_factor(n) * factor, value_index(n, 0));
    }
  }
  return stream;
}

}  // namespace

void prepare(CoefficientSet& model) {
  const int degree = model.degree;
  model.prepared = {};
  for (std::size_t i = 0; i < model.piece_count(); ++i) model.prepared.pieces.push_back(model.piece(i));
  if (model.behaviour == TimeBehaviour::spline) {
    for (const TimePiece& piece : model.prepared.pieces) model.prepared.cubics.push_back(cubics(model, piece));
  }
  model.prepared.sets.resize(model.sets.size());
  for (auto& stream : model.prepared.sets) {
    const auto n = static_cast<std::size_t>(degree);
    stream.reserve(n + 1 + n * 7 + 3 * n * (n - 1));
  }
  double sectoral = 1;
  for (int m = 0; m <= degree; ++m) {
    if (m >= 2) sectoral *= sectoral_step(m);
    const std::vector<double> s = schmidt_factors(m, degree, sectoral);
    for (int n = m; n <= degree; ++n) {
      const double factor = s[static_cast<std::size_t>(n - m)];
      // c(n+1, m): the constant by which w(n+1, m) follows.
      model.prepared.constants.push_back(static_cast<double>(n * n - m * m) / ((2.0 * n - 1) * (2.0 * n + 1)));
      for (std::size_t k = 0; k < model.sets.size(); ++k) {
        const std::vector<double>& set = model.sets[k];
        std::vector<double>& stream = model.prepared.sets[k];
        if (m == 0) {
          stream.push_back(n == 0 ? 0 : (n + 1) * factor * set[value_index(n, 0)]);
          continue;
        }
        const std::size_t at = value_index(n, m);
        const double g = factor * set[at];
        const double h = factor * set[at + 1];
        stream.insert(stream.end(), {m * g, m * h, (n + 1) * g, (n + 1) * h, -(2 * n + 1) * g, -(2 * n + 1) * h});
        if (m == 1) stream.push_back(zonal_factor(n) * factor * set[value_index(n, 0)]);
      }
    }
  }
}

CoefficientSet at_date(const CoefficientSet& model, double decimal_year) {
  const TimeWeights w = model.weights(decimal_year);
  CoefficientSet folded = model;
  folded.behaviour = TimeBehaviour::linear;
  folded.epoch = decimal_year;
  folded.valid_from = decimal_year;
  folded.valid_to = decimal_year;
  folded.times.clear();
  folded.sets.assign(2, std::vector<double>(model.values_per_set(), 0.0));
  for (std::size_t k = 0; k < w.count; ++k) {
    const std::vector<double>& set = model.sets[w.first + k];
    for (std::size_t i = 0; i < set.size(); ++i) {
      folded.sets[0][i] += w.weight[k] * set[i];
      folded.sets[1][i] += w.rate[k] * set[i];
    }
  }
  prepare(folded);
  return folded;
}

}  // namespace agonic::field
