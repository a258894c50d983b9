// Land and coast on the paper.
#pragma once

#include <string_view>
#include <vector>

#include "model/chart/isolines.hpp"
#include "model/chart/projection.hpp"
#include "model/paper/drawing.hpp"

namespace agonic::chart {

/// The rings of one scale in the layout of coefficients/coastline/about.txt; empty where the text does not have it or
/// is not of that layout.
/// @param scale `110m` or `50m`
std::vector<std::vector<Vertex>> read_land(std::string_view text, std::string_view scale);

/// Land as an area and its coast as lines, cut to a little more than the frame. What runs along the antimeridian or the
/// south pole is the edge of the data and no coast.
struct Land {
  paper::Path area, coast;
};
Land project_land(const std::vector<std::vector<Vertex>>& rings, const Projection& projection);

}  // namespace agonic::chart
