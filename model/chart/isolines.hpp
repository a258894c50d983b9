// Lines of equal declination and the like over one part of a grid.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "model/chart/box.hpp"
#include "model/chart/source.hpp"

namespace agonic::chart {

/// Geodetic degrees.
struct Vertex {
  double lon_deg = 0, lat_deg = 0;
};

/// A piece of the line of one level; larger values (of D: those to the east) on its left. Lines of D end at the
/// magnetic poles, where all of them meet, and on the edge of the grid, of which a geographic pole is a part.
struct Line {
  double level = 0;
  bool closed = false;  ///< the last vertex is joined to the first
  std::vector<Vertex> points;
};

/// How near a vertex lies to its line. `exact`: the model's value there differs from the level by at most
/// line_accuracy(). `quick`: one step of the secant rule, for pictures that must follow a finger: on a grid of 2
/// degrees 98 in 100 vertices within 0.02 degree of the place, all within half a degree, which is where a line runs
/// along an edge.
enum class Fineness { quick, exact };
/// 1e-4 degree, 1e-6 degree a year, 0.01 nT.
double line_accuracy(Quantity quantity) noexcept;

/// The most vertices of all lines together.
inline constexpr std::size_t kMostVertices = 400'000;
/// The most levels.
inline constexpr std::size_t kMostLevels = 720;

/// The lines of these levels. Between vertices, which lie on the edges of the grid, a line is straight in longitude and
/// latitude. Loops that fit between the nodes are not seen. Refuses more than kMostVertices with Code::out_of_range.
/// @param samples of `part`, as sample_grid() gives them
Result<std::vector<Line>> isolines(const Source& source, const Part& part, const Samples& samples, Quantity quantity,
                                   std::span<const double> levels, Fineness fineness);

/// The multiples of `interval` that the samples reach, ascending. Of D in (-180, 180], all of them round a pole; of D's
/// change and uncertainty, which grow beyond bounds towards the magnetic poles, those where H is 2000 nT and more.
std::vector<double> levels_of(const Source& source, std::span<const Samples> samples, Quantity quantity,
                              double interval);
/// An interval that gives a picture of these samples about a dozen lines, of which most of the area has its share.
/// @param weight of each sample in each part: the cosine of its latitude
double good_interval(const Source& source, std::span<const Samples> samples,
                     std::span<const std::vector<double>> weight, Quantity quantity);

}  // namespace agonic::chart
