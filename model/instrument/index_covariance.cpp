// First-order propagation of errors: the variance of a linear form g'x is g' C g (any text on adjustment computations).
#include "model/instrument/index_covariance.hpp"

#include <algorithm>
#include <cmath>

#include "model/units/angle.hpp"

namespace agonic::instrument {

IndexCovariance IndexCovariance::constant(double sigma_deg) noexcept {
  IndexCovariance out;
  out.upper[0] = sigma_deg * sigma_deg;
  return out;
}

double IndexCovariance::sigma_at(double m) const noexcept {
  const std::array<double, 5> g{1, sin_deg(m), cos_deg(m), sin_deg(2 * m), cos_deg(2 * m)};
  double variance = 0;
  for (std::size_t i = 0; i < 5; ++i)
    for (std::size_t j = 0; j < 5; ++j) variance += g[i] * g[j] * upper[at(i, j)];
  return std::sqrt(std::max(variance, 0.0));  // rounding alone could take it below zero
}

}  // namespace agonic::instrument
