// A chart: what is asked, and the lines, zones and numbers that answer it. Drawings and documents are made of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/chart/box.hpp"
#include "model/chart/isolines.hpp"
#include "model/chart/zones.hpp"
#include "model/field/catalogue.hpp"
#include "model/units/date.hpp"
#include "model/units/parameters.hpp"

namespace agonic::chart {

inline constexpr double kLeastWidthPx = 200, kMostWidthPx = 4000;

struct Query {
  Box box;
  Quantity quantity = Quantity::declination;
  Date date;
  bool is_today = false;  ///< asked as `today`: the answer changes at 00:00 UTC
  std::string model = "auto";
  double height_m = 0;
  std::optional<double> step_deg;  ///< of the grid; [kLeastStepDeg, kMostStepDeg]
  std::optional<double> interval;  ///< from line to line, in the quantity's unit
  double width_px = 2000;          ///< of a PNG; [kLeastWidthPx, kMostWidthPx]
};

/// bbox, quantity, date, date_order, model, height_m, interval, width_px, and step_deg or zoom (0 to 14, as tiles of
/// 256 pixels have it: four pixels a step). A missing date is refused; a missing bbox means the world.
Result<Query> parse_query(const Parameters& parameters, std::chrono::sys_days today);

/// What lies in one part of the grid.
struct Sheet {
  Part part;
  Samples samples;
  std::vector<Line> lines;
  std::vector<Polygon> unusable, caution;  ///< H below 2000 nT; 2000 to 6000
};

struct Chart {
  Query query;
  Source source;
  double step_deg = 0, interval = 0;
  std::vector<Sheet> sheets;
  std::vector<double> levels;  ///< of all lines
  /// Of D, 1-sigma and 95 %, where the needle is usable: the least and the most among the nodes; none without such
  /// nodes.
  struct Range {
    double least = 0, most = 0;
  };
  std::optional<Range> sigma_deg, half_width_95_deg;
  std::vector<std::string> notes;  ///< full sentences: how the date was read, a seam of two models nearby
};

/// Everything, at a stated accuracy; the zones are exact always. Refuses a date outside the models, a height as places
/// do, a grid of more than kMostNodes, more than kMostLevels lines or kMostVertices vertices: Code::out_of_range with
/// what to change.
Result<Chart> chart(const field::Catalogue& catalogue, const Query& query, Fineness fineness = Fineness::exact);

/// What every user of a chart must know.
extern const std::string_view kCaution;
/// "Declination is uncertain by 0.3 to 0.9 degrees ..."; what a careful reader is told beside the lines.
std::string uncertainty_note(const Chart& chart);

}  // namespace agonic::chart
