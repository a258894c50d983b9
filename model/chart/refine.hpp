// Inside of the charts only: where on their edges lines cross.
#pragma once

#include <span>
#include <vector>

#include "model/chart/isolines.hpp"

namespace agonic::chart {

/// A crossing of one edge: between two places whose signs differ.
struct Crossing {
  Vertex from, to;
  double from_distance = 0, to_distance = 0;  ///< of the function that is zero on the line
  std::size_t level = 0;                      ///< by its place in `levels`
  Vertex at;                                  ///< result
  bool on_side = true;                        ///< result: as Level::on_side()
};

/// Fills `at` and `on_side`. An edge without length is crossed at its place.
void refine(const Source& source, std::span<const Level> levels, Fineness fineness, std::span<Crossing> crossings);

/// The magnetic pole near `guess`: where H is 0. Newton's rule; none if it leads away by more than `reach_deg`.
bool find_dip_pole(const Source& source, Vertex guess, double reach_deg, Vertex& pole);

}  // namespace agonic::chart
