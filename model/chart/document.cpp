#include "model/chart/document.hpp"

#include <array>

#include "model/chart/drawing.hpp"
#include "model/paper/svg.hpp"
#include "model/paper_raster/raster.hpp"
#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

struct Row {
  Format format;
  std::string_view name, media_type;
};
constexpr std::array kFormats{Row{Format::geojson, "geojson", "application/geo+json"},
                              Row{Format::coverage, "coveragejson", "application/prs.coverage+json"},
                              Row{Format::csv, "csv", "text/csv"}, Row{Format::svg, "svg", "image/svg+xml"},
                              Row{Format::png, "png", "image/png"}};

}  // namespace

std::optional<Format> format_of_name(std::string_view name) {
  if (is_word(name, "covjson")) return Format::coverage;
  for (const Row& row : kFormats)
    if (is_word(name, row.name) || is_word(name, row.media_type)) return row.format;
  return std::nullopt;
}

std::string_view media_type(Format format) noexcept { return kFormats[static_cast<std::size_t>(format)].media_type; }

Result<std::string> document(const Chart& chart, Format format, std::string_view coastline) {
  switch (format) {
    case Format::geojson:
      return to_geojson(chart);
    case Format::coverage:
      return to_coverage_json(chart);
    case Format::csv:
      return to_csv(chart);
    case Format::svg:
      return paper::to_svg(draw(chart, coastline), {"chart", true});
    case Format::png:
      break;
  }
  return paper::to_png(draw(chart, coastline), chart.query.width_px / kPageWidth);
}

}  // namespace agonic::chart
