// A chart as a document: lines, a grid, a picture.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "model/chart/chart.hpp"

namespace agonic::chart {

enum class Format { geojson, coverage, csv, svg, png };

/// By media type or short name: `geojson`, `coveragejson` (also `covjson`), `csv`, `svg`, `png`; nothing for any other.
std::optional<Format> format_of_name(std::string_view name);
std::string_view media_type(Format format) noexcept;

/// The chart in one format. Refuses a picture beyond its limits.
/// @param coastline the outlines of land as text; pictures only
Result<std::string> document(const Chart& chart, Format format, std::string_view coastline);

/// RFC 7946: one MultiLineString a level, cut at the antimeridian, and one MultiPolygon a needle zone; what they were
/// made of as foreign members. Six decimals.
std::string to_geojson(const Chart& chart);

/// Grids of every quantity at the nodes, numbers unrounded, as OGC CoverageJSON (community standard 21-069r2): a Grid
/// domain in CRS84, longitudes ascending beyond 180 in a box across the antimeridian. D is null at the geographic
/// poles, where there is no north to count it from.
std::string to_coverage_json(const Chart& chart);

/// The same as CSV, a row a node from the south-west corner, longitudes in [-180, 180]: angles with 5 decimals, nT
/// with 2.
std::string to_csv(const Chart& chart);

}  // namespace agonic::chart
