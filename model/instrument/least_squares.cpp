// Rows are divided by their sigma and solved by Householder's transformation with pivoting, which also tells the rank.
#include "model/instrument/least_squares.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>

#include "model/instrument/distributions.hpp"

namespace agonic::instrument {
namespace {

constexpr double kRankThreshold = 1e-3;  // headings that all but repeat each other determine no curve
constexpr std::size_t kStarts = 150, kStartsOfMany = 50, kMany = 500;
constexpr int kConcentrations = 3;
constexpr double kFirstCut = 3;  // robust sigmas; liberal, for what was cut wrongly comes in again
constexpr double kThreeSigma = 0.0027;

// Subsets at random, the same every time (a 64-bit linear congruence, Knuth's constants).
class Draw {
 public:
  std::size_t below(std::size_t n) {
    state_ = state_ * 6364136223846793005u + 1442695040888963407u;
    return static_cast<std::size_t>((state_ >> 33) % n);
  }

 private:
  std::uint64_t state_ = 1;
};

double squared(const Solution& solution, const Equation& equation) {
  const double w = solution.residual(equation) / equation.sigma;
  return w * w;
}

// The `count` candidates that lie nearest to the solution, and the sum of their squares.
double nearest(std::span<const Equation> equations, const std::vector<std::size_t>& candidates,
               const Solution& solution, std::size_t count, std::vector<std::size_t>& out) {
  std::vector<std::pair<double, std::size_t>> order;
  order.reserve(candidates.size());
  for (const std::size_t i : candidates) order.emplace_back(squared(solution, equations[i]), i);
  std::sort(order.begin(), order.end());
  out.clear();
  double sum = 0;
  for (std::size_t k = 0; k < count; ++k) {
    out.push_back(order[k].second);
    sum += order[k].first;
  }
  return sum;
}

Solution least_trimmed(std::span<const Equation> equations, const std::vector<std::size_t>& candidates) {
  const auto p = static_cast<std::size_t>(equations[candidates[0]].design.cols());
  const std::size_t m = candidates.size(), kept = std::min(m, std::max(p + 1, (m + p + 1) / 2));
  Solution best;
  best.dof = -1;
  double least = 0;
  Draw draw;
  std::vector<std::size_t> order(candidates), set;
  const std::size_t starts = m > kMany ? kStartsOfMany : kStarts;
  const bool every_one = p == 1 && m <= starts;
  for (std::size_t start = 0; start < (every_one ? m : starts); ++start) {
    if (every_one)
      std::swap(order[0], order[start]);
    else
      for (std::size_t k = 0; k < p; ++k) std::swap(order[k], order[k + draw.below(m - k)]);
    set.assign(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(p));
    Solution solution = least_squares(equations, set);
    double sum = 0;
    for (int step = 0; step < kConcentrations && solution.dof >= 0; ++step) {
      sum = nearest(equations, candidates, solution, kept, set);
      Solution next = least_squares(equations, set);
      if (next.dof < 0) break;
      solution = std::move(next);
      sum = solution.weighted_sum;
    }
    if (solution.dof >= 0 && (best.dof < 0 || sum < least)) {
      best = std::move(solution);
      least = sum;
    }
  }
  return best;
}

}  // namespace

Solution least_squares(std::span<const Equation> equations, const std::vector<std::size_t>& which) {
  Solution out;
  out.dof = -1;
  if (which.empty()) return out;
  const auto n = static_cast<Eigen::Index>(which.size()), p = equations[which[0]].design.cols();
  if (n < p) return out;
  Eigen::MatrixXd a(n, p);
  Eigen::VectorXd y(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Equation& equation = equations[which[static_cast<std::size_t>(i)]];
    a.row(i) = equation.design / equation.sigma;
    y(i) = equation.value / equation.sigma;
  }
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(a);
  qr.setThreshold(kRankThreshold);
  if (qr.rank() < p) return out;
  out.parameters = qr.solve(y);
  // (A' A)^-1 = P R^-1 R^-T P'
  const Eigen::MatrixXd r =
      qr.matrixR().topLeftCorner(p, p).triangularView<Eigen::Upper>().solve(Eigen::MatrixXd::Identity(p, p));
  out.cofactor = qr.colsPermutation() * (r * r.transpose()) * qr.colsPermutation().transpose();
  out.weighted_sum = (y - a * out.parameters).squaredNorm();
  out.dof = static_cast<int>(n - p);
  return out;
}

Scale scale_of(const Solution& solution, bool stated) noexcept {
  Scale scale;
  const double prior = stated ? kStatedSigmaWeight : kUsualSigmaWeight;
  scale.dof = prior + solution.dof;
  scale.factor = (prior + solution.weighted_sum) / scale.dof;
  if (stated) scale.factor = std::max({scale.factor, 1.0, solution.weighted_sum / std::max(solution.dof, 1)});
  scale.widening = student_quantile(kThreeSigma, scale.dof) / 3;
  return scale;
}

double RobustSolution::predicted_sigma(const Equation& equation) const {
  return std::sqrt(scale.factor * (equation.sigma * equation.sigma + solution.variance(equation)));
}

RobustSolution robust_least_squares(std::span<const Equation> equations, const std::vector<std::size_t>& candidates,
                                    bool stated) {
  RobustSolution out;
  out.used.assign(equations.size(), false);
  out.solution.dof = -1;
  if (candidates.empty() || candidates.size() < static_cast<std::size_t>(equations[candidates[0]].design.cols()))
    return out;
  const Solution start = least_trimmed(equations, candidates);
  if (start.dof < 0) return out;

  std::vector<double> squares;
  squares.reserve(candidates.size());
  for (const std::size_t i : candidates) squares.push_back(squared(start, equations[i]));
  std::nth_element(squares.begin(), squares.begin() + static_cast<std::ptrdiff_t>(squares.size() / 2), squares.end());
  const double spare =
      std::max(1.0, static_cast<double>(candidates.size()) - static_cast<double>(start.parameters.size()));
  const double scale = 1.4826 * (1 + 5 / spare) * std::sqrt(squares[squares.size() / 2]);
  const double cut = kFirstCut * std::max(scale, stated ? 1.0 : 0.5);
  std::vector<std::size_t> set;
  for (const std::size_t i : candidates)
    if (squared(start, equations[i]) <= cut * cut) set.push_back(i);

  const double alpha = kFalseAlarm / static_cast<double>(equations.size());
  for (;;) {
    Solution solution = least_squares(equations, set);
    if (solution.dof < 0) return out;
    out.solution = std::move(solution);
    out.scale = scale_of(out.solution, stated);
    out.critical = student_quantile(alpha, out.scale.dof);
    out.used.assign(equations.size(), false);
    for (const std::size_t i : set) out.used[i] = true;
    double nearest_t = out.critical;
    std::size_t next = equations.size();
    for (std::size_t i = 0; i < equations.size(); ++i) {
      if (out.used[i]) continue;
      const double t = std::abs(out.solution.residual(equations[i])) / out.predicted_sigma(equations[i]);
      if (t < nearest_t) nearest_t = t, next = i;
    }
    if (next == equations.size()) return out;
    set.push_back(next);
  }
}

}  // namespace agonic::instrument
