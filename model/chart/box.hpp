// The part of the world a chart shows, and its grid.
#pragma once

#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::chart {

/// Geodetic degrees (WGS84), north and east positive. south < north in [-90, 90]; west in [-180, 180), east in
/// (west, west + 360]: an east beyond 180 lies across the antimeridian.
struct Box {
  double west = -180, south = -90, east = 180, north = 90;
  [[nodiscard]] bool whole_circle() const { return east - west >= 360; }
};

/// `west,south,east,north` as RFC 7946 5 has them: a west above the east is a box across the antimeridian. Longitudes
/// from -180 to 360. Refuses anything else, naming what is wrong.
Result<Box> parse_box(std::string_view text);

/// The regular grid of a box: from the south-west corner by `step_deg`, with the last row or column at the edge itself.
std::vector<double> rows(const Box& box, double step_deg);
/// Ascending, beyond 180 where the box is.
std::vector<double> columns(const Box& box, double step_deg);

/// A stretch of the grid that lies on one side of the antimeridian.
struct Part {
  std::vector<double> lat_deg, lon_deg;  ///< ascending, in [-90, 90] and [-180, 180]
  double turn_deg = 0;                   ///< to add to its longitudes for those of the box: 0 or 360
};
/// The grid cut at the antimeridian, a column on it on both sides. One or two parts.
std::vector<Part> parts(const Box& box, double step_deg);

/// The step that gives a chart about 180 columns, one of a few good numbers from 0.01 to 2 degrees.
double good_step(const Box& box);
/// The most nodes of a grid.
inline constexpr std::size_t kMostNodes = 300'000;
inline constexpr double kLeastStepDeg = 0.001, kMostStepDeg = 30;

}  // namespace agonic::chart
