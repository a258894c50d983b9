// Symmetric linear systems of networks, by conjugate gradients.
//
// M. R. Hestenes and E. Stiefel, Methods of conjugate gradients for solving linear systems (1952),
// doi:10.6028/jres.049.044.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

namespace agonic::survey {

/// Solves A x = b for a symmetric positive definite A that is given by what it does to a vector. Deterministic.
/// @param diagonal of A, positive
/// @param start a first guess; a good one (a tree of the network) ends at once where nothing contradicts it
std::vector<double> solve(const std::function<void(const std::vector<double>&, std::vector<double>&)>& multiply,
                          const std::vector<double>& diagonal, const std::vector<double>& right,
                          std::vector<double> start);

}  // namespace agonic::survey
