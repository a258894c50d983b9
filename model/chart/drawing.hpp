// A chart as a drawing: map, lines with their labels, hatched zones, legend, notes.
#pragma once

#include <string_view>

#include "model/chart/chart.hpp"
#include "model/paper/drawing.hpp"

namespace agonic::chart {

/// The width of the page in pixels; the height follows from the box.
inline constexpr double kPageWidth = 1000;

/// @param coastline the outlines of land as text (coefficients/coastline/about.txt); empty: none are drawn
paper::Drawing draw(const Chart& chart, std::string_view coastline);

}  // namespace agonic::chart
