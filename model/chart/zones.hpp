// Where the needle is weak: areas of small horizontal intensity.
#pragma once

#include <vector>

#include "model/chart/box.hpp"
#include "model/chart/isolines.hpp"
#include "model/chart/source.hpp"

namespace agonic::chart {

/// The outline counterclockwise, then holes clockwise, as RFC 7946 3.1.6 wants them; each ring closed without repeating
/// its first vertex.
struct Polygon {
  std::vector<std::vector<Vertex>> rings;
};

/// The parts of the grid with H in [from_nt, to_nt). An edge of the grid bounds a zone that reaches it. Vertices lie on
/// their line within line_accuracy() of H.
/// @param samples of `part`
std::vector<Polygon> zone(const Source& source, const Part& part, const Samples& samples, double from_nt, double to_nt);

}  // namespace agonic::chart
