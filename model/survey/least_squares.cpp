// Conjugate gradients, preconditioned with the diagonal. Ends at a residual of 1e-14 of the right-hand side, or after
// as many steps as cannot be needed.
#include "model/survey/least_squares.hpp"

#include <cmath>
#include <numeric>

namespace agonic::survey {

std::vector<double> solve(const std::function<void(const std::vector<double>&, std::vector<double>&)>& multiply,
                          const std::vector<double>& diagonal, const std::vector<double>& right,
                          std::vector<double> start) {
  constexpr double kEnough = 1e-14;
  const std::size_t n = right.size();
  std::vector<double> x = std::move(start), image(n), residual(n), scaled(n), direction(n);
  const auto dot = [](const std::vector<double>& a, const std::vector<double>& b) {
    return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
  };
  multiply(x, image);
  for (std::size_t i = 0; i < n; ++i) residual[i] = right[i] - image[i], scaled[i] = residual[i] / diagonal[i];
  direction = scaled;
  double slope = dot(residual, scaled);
  const double enough = kEnough * kEnough * std::max(dot(right, right), 1e-300);
  for (std::size_t step = 0; step < 10 * n + 10 && dot(residual, residual) > enough; ++step) {
    multiply(direction, image);
    const double bend = dot(direction, image);
    if (!(bend > 0)) break;
    const double length = slope / bend;
    for (std::size_t i = 0; i < n; ++i) {
      x[i] += length * direction[i];
      residual[i] -= length * image[i];
      scaled[i] = residual[i] / diagonal[i];
    }
    const double next = dot(residual, scaled);
    for (std::size_t i = 0; i < n; ++i) direction[i] = scaled[i] + next / slope * direction[i];
    slope = next;
  }
  return x;
}

}  // namespace agonic::survey
