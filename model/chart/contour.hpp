// Lines through a grid of numbers where they change sign: marching squares, the topology alone.
//
// Where on its edge a line crosses is left to the caller, who knows the function between the nodes. Saddles are decided
// by the asymptotes of the bilinear surface (Nielson and Hamann 1991, doi:10.1109/VISUAL.1991.175782).
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace agonic::chart {

/// An edge of the grid that a line crosses: from node `from` to node `to`, its neighbour to the east or to the north.
struct Edge {
  std::uint32_t from = 0, to = 0;
};

/// One line as the edges it crosses, in order, the numbers not below zero on its left. `closed`: the last joins the
/// first.
struct Chain {
  std::vector<Edge> edges;
  bool closed = false;
};

/// Keeps its memory from call to call.
class Contourer {
 public:
  /// @param columns,rows at least 2 each, their product below 2^30
  Contourer(std::size_t columns, std::size_t rows);

  /// The zero lines of `value`, row after row from south to north, columns from west to east; 0 counts as positive. In
  /// the order of the grid: open ones first.
  void trace(std::span<const double> value, std::vector<Chain>& out);

 private:
  void follow(std::uint32_t start, bool closed, std::vector<Chain>& out);
  void link(std::uint32_t from, std::uint32_t to);

  std::size_t columns_, rows_;
  std::vector<std::uint32_t> next_;  // by edge: 2 node (eastward) or 2 node + 1 (northward); kNone
  std::vector<bool> reached_;        // does another edge lead here?
  std::vector<std::uint32_t> used_;  // those set, so that only they need clearing
};

}  // namespace agonic::chart
