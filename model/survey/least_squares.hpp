// Normal equations of networks: sparse, symmetric, positive definite; solved directly.
//
// E. Cuthill and J. McKee, Reducing the bandwidth of sparse symmetric matrices (1969), doi:10.1145/800195.805928;
// A. George and J. W. H. Liu, Computer Solution of Large Sparse Positive Definite Systems (1981).
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <utility>
#include <vector>

namespace agonic::survey {

/// Collects observation equations sum(factor * x) = value, each with its weight, and solves for x. Deterministic.
class NormalEquations {
 public:
  explicit NormalEquations(std::size_t unknowns) : right_(unknowns, 0), rows_(unknowns) {}
  using Term = std::pair<std::size_t, double>;  ///< unknown, factor
  void observe(std::span<const Term> terms, double value, double weight);
  /// Unknowns that nothing was observed of stay 0. Nothing where the equations do not fix the others, or where the
  /// network is so entangled that the work would exceed `most_work` multiplications.
  [[nodiscard]] std::optional<std::vector<double>> solve(double most_work) const;

 private:
  [[nodiscard]] std::vector<std::size_t> order() const;
  std::vector<double> right_;
  std::vector<std::vector<Term>> rows_;  // of the matrix, all entries, sorted by unknown
};

}  // namespace agonic::survey
