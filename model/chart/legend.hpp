// Inside of the charts only: what stands round the map, and how lines of each quantity are drawn.
#pragma once

#include <string>
#include <string_view>

#include "model/chart/chart.hpp"
#include "model/paper/drawing.hpp"

namespace agonic::chart {

/// "Declination, 2026-07-02"
std::string heading(const Chart& chart);
/// What is to be seen, in sentences, for a screen reader.
std::string description(const Chart& chart);

/// The pen of a line. @param round one of the rounder levels
paper::Stroke line_pen(Quantity quantity, double level, bool round);
paper::Colour label_colour(Quantity quantity, std::string_view label);

/// How much room the heading takes.
double head_height(const Chart& chart, double width);

/// Heading above the map, legend and notes below. @param below the first free line under the map
/// @return where the page ends
double surround(const Chart& chart, double left, double right, double below, paper::Drawing& page);

}  // namespace agonic::chart
