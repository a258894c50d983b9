// Series and continued fractions, whichever converges; the fractions by Lentz's method in its modified form. Quantiles
// by halving an interval, for they are asked for a few times a fit.
#include "model/instrument/distributions.hpp"

#include <cmath>
#include <limits>

namespace agonic::instrument {
namespace {

constexpr double kTiny = 1e-300, kStop = 1e-15;
constexpr int kSteps = 2000;

double log_gamma(double x) noexcept {
  int sign = 0;
  return ::lgamma_r(x, &sign);  // the one of <cmath> writes a global
}

// P(a, x), 6.5.29 and 6.5.31.
double gamma_p(double a, double x) noexcept {
  if (x <= 0) return 0;
  const double front = std::exp(a * std::log(x) - x - log_gamma(a));
  if (x < a + 1) {
    double term = 1 / a, sum = term;
    for (int n = 1; n < kSteps && term > kStop * sum; ++n) sum += term *= x / (a + n);
    return front * sum;
  }
  double b = x + 1 - a, c = 1 / kTiny, d = 1 / b, h = d;
  for (int n = 1; n < kSteps; ++n) {
    const double an = -n * (n - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    h *= c * d;
    if (std::abs(c * d - 1) < kStop) break;
  }
  return 1 - front * h;
}

// The fraction of 26.5.8 in the form with alternating coefficients.
double beta_fraction(double x, double a, double b) noexcept {
  const auto guard = [](double value) { return std::abs(value) < kTiny ? kTiny : value; };
  double c = 1, d = 1 / guard(1 - (a + b) * x / (a + 1)), h = d;
  for (int m = 1; m < kSteps; ++m) {
    const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / guard(1 + even * d);
    c = guard(1 + even / c);
    h *= c * d;
    const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / guard(1 + odd * d);
    c = guard(1 + odd / c);
    h *= c * d;
    if (std::abs(c * d - 1) < kStop) break;
  }
  return h;
}

// I_x(a, b)
double beta_p(double x, double a, double b) noexcept {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const double front = std::exp(log_gamma(a + b) - log_gamma(a) - log_gamma(b) + a * std::log(x) + b * std::log1p(-x));
  if (x < (a + 1) / (a + b + 2)) return front * beta_fraction(x, a, b) / a;
  return 1 - front * beta_fraction(1 - x, b, a) / b;
}

// The x >= 0 where a falling function passes `p`.
template <class F>
double where(const F& tail, double p) noexcept {
  double low = 0, high = 1;
  while (tail(high) > p && high < 1e12) high *= 2;
  for (int step = 0; step < 200 && high - low > 1e-13 * high; ++step) {
    const double middle = (low + high) / 2;
    (tail(middle) > p ? low : high) = middle;
  }
  return (low + high) / 2;
}

}  // namespace

double chi_square_probability(double x, double dof) noexcept { return gamma_p(dof / 2, x / 2); }

double chi_square_quantile(double p, double dof) noexcept {
  return where([&](double x) { return 1 - chi_square_probability(x, dof); }, 1 - p);
}

double f_tail(double f, double dof1, double dof2) noexcept {
  if (std::isinf(f)) return 0;
  return beta_p(dof2 / (dof2 + dof1 * f), dof2 / 2, dof1 / 2);  // 26.6.2
}

double student_quantile(double alpha, double dof) noexcept {
  return where([&](double t) { return beta_p(dof / (dof + t * t), dof / 2, 0.5); }, alpha);  // 26.7.1
}

}  // namespace agonic::instrument
