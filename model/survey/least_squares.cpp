// The unknowns are numbered anew by reverse Cuthill-McKee: breadth first from an end of the network, then backward, so
// that a traverse, however it was written down, has its entries near the diagonal. Then Cholesky within the envelope:
// row i is kept from its first entry f(i) on, and L(i, j) = (A(i, j) - sum of L(i, k) L(j, k)) / L(j, j) for
// k from max(f(i), f(j)) to j - 1.
#include "model/survey/least_squares.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace agonic::survey {
namespace {

constexpr double kSingular = 1e-12;  // a pivot this small against its diagonal is rounding

}  // namespace

void NormalEquations::observe(std::span<const Term> terms, double value, double weight) {
  for (const auto& [i, a] : terms) {
    right_[i] += weight * a * value;
    for (const auto& [j, b] : terms) {
      auto& row = rows_[i];
      const auto at =
          std::lower_bound(row.begin(), row.end(), j, [](const Term& t, std::size_t k) { return t.first < k; });
      if (at != row.end() && at->first == j)
        at->second += weight * a * b;
      else
        row.insert(at, {j, weight * a * b});
    }
  }
}

std::vector<std::size_t> NormalEquations::order() const {
  const std::size_t n = rows_.size();
  std::vector<std::size_t> out;
  std::vector<bool> taken(n, false);
  out.reserve(n);
  // Breadth first from `start`, neighbours of few neighbours first.
  const auto walk = [&](std::size_t start, std::vector<bool>& seen) {
    std::vector<std::size_t> level{start};
    seen[start] = true;
    for (std::size_t at = 0; at < level.size(); ++at) {
      const std::size_t first = level.size();
      for (const auto& [j, value] : rows_[level[at]])
        if (!seen[j]) seen[j] = true, level.push_back(j);
      std::stable_sort(level.begin() + static_cast<std::ptrdiff_t>(first), level.end(),
                       [&](std::size_t a, std::size_t b) { return rows_[a].size() < rows_[b].size(); });
    }
    return level;
  };
  for (std::size_t i = 0; i < n; ++i) {
    if (taken[i]) continue;
    std::vector<bool> seen = taken;
    const std::size_t end = walk(i, seen).back();  // as far away as can be: an end
    const auto level = walk(end, taken);
    out.insert(out.end(), level.begin(), level.end());
  }
  std::reverse(out.begin(), out.end());
  return out;
}

std::optional<std::vector<double>> NormalEquations::solve(double most_work) const {
  const std::size_t n = rows_.size();
  const std::vector<std::size_t> old_of = order();
  std::vector<std::size_t> new_of(n), first(n);
  for (std::size_t i = 0; i < n; ++i) new_of[old_of[i]] = i;
  double work = 0;
  std::vector<std::vector<double>> lower(n);
  for (std::size_t i = 0; i < n; ++i) {
    first[i] = i;
    for (const auto& [j, value] : rows_[old_of[i]]) first[i] = std::min(first[i], new_of[j]);
    work += std::pow(static_cast<double>(i - first[i]), 2);
    if (work > most_work) return std::nullopt;
    lower[i].assign(i - first[i] + 1, 0);
    for (const auto& [j, value] : rows_[old_of[i]])
      if (new_of[j] <= i) lower[i][new_of[j] - first[i]] = value;
  }
  std::vector<double> x(n);
  for (std::size_t i = 0; i < n; ++i) {
    auto& row = lower[i];
    const double diagonal = row.back();
    const auto dot = [&](std::size_t j) {  // over the columns before j that both rows have
      const std::size_t from = std::max(first[i], first[j]);
      double sum = 0;
      for (std::size_t k = from; k < j; ++k) sum += row[k - first[i]] * lower[j][k - first[j]];
      return sum;
    };
    for (std::size_t j = first[i]; j < i; ++j) {
      const double pivot = lower[j].back();
      row[j - first[i]] = pivot > 0 ? (row[j - first[i]] - dot(j)) / pivot : 0;
    }
    double rest = diagonal;
    for (std::size_t k = 0; k + 1 < row.size(); ++k) rest -= row[k] * row[k];
    if (rows_[old_of[i]].empty())
      row.back() = 0;  // nothing observed
    else if (!(rest > diagonal * kSingular))
      return std::nullopt;
    else
      row.back() = std::sqrt(rest);
    double value = right_[old_of[i]];
    for (std::size_t k = 0; k + 1 < row.size(); ++k) value -= row[k] * x[first[i] + k];
    x[i] = row.back() > 0 ? value / row.back() : 0;
  }
  for (std::size_t i = n; i-- > 0;) {
    const auto& row = lower[i];
    if (row.back() == 0) continue;
    x[i] /= row.back();
    for (std::size_t k = 0; k + 1 < row.size(); ++k) x[first[i] + k] -= row[k] * x[i];
  }
  std::vector<double> out(n);
  for (std::size_t i = 0; i < n; ++i) out[old_of[i]] = x[i];
  return out;
}

}  // namespace agonic::survey
