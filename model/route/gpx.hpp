// GPX 1.0 and 1.1 (an open XML format, topografix.com/gpx.asp) to points. Read with expat; whatever a file without
// malice has no need of is refused: a document type (and with it entity declarations), deep nesting, endless texts.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::route {

enum class GpxPart { waypoints, route, track };
std::string_view word(GpxPart part) noexcept;

/// A point as it is written; empty where it says nothing.
struct GpxPoint {
  GpxPart part = GpxPart::waypoints;
  std::uint64_t line = 0;  ///< of the file, from 1
  std::string lat, lon, ele, time, name;
};

inline constexpr int kGpxDeepest = 32;            ///< elements inside elements
inline constexpr std::size_t kGpxLongest = 1000;  ///< bytes of one text that is read
inline constexpr std::size_t kGpxMost = 200000;   ///< points of a file

/// Every point in the order of the file. Code::file_malformed with the line.
Result<std::vector<GpxPoint>> read_gpx(std::string_view text);

}  // namespace agonic::route
