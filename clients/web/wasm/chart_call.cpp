#include "clients/web/wasm/chart_call.hpp"

#include <cmath>
#include <span>
#include <vector>

#include "model/chart/chart.hpp"
#include "model/units/json_out.hpp"
#include "model/units/number.hpp"

namespace agonic {
namespace {

constexpr double kStepsOfGrid = 100;  // finer than anybody sees

class Places {
 public:
  Places(std::string& out, double turn_deg, double scale) : out_(out), turn_deg_(turn_deg), scale_(scale) {}
  void add(std::span<const chart::Vertex> points) {
    long x = 0, y = 0;
    for (const chart::Vertex& point : points) {
      const long next_x = std::lround((point.lon_deg + turn_deg_) * scale_);
      const long next_y = std::lround(point.lat_deg * scale_);
      const bool first = &point == points.data();
      if (!first && next_x == x && next_y == y) continue;
      put(next_x - x);
      put(next_y - y);
      x = next_x;
      y = next_y;
    }
  }

 private:
  void put(long number) {
    if (out_.back() != '[') out_ += ',';
    out_ += std::to_string(number);
  }
  std::string& out_;
  double turn_deg_, scale_;
};

void next(std::string& out) {
  if (out.back() != '[') out += ',';
}

std::string polygons_json(const chart::Chart& chart, std::vector<chart::Polygon> chart::Sheet::*zone, double scale) {
  std::string out = "[";
  for (const chart::Sheet& sheet : chart.sheets) {
    for (const chart::Polygon& polygon : sheet.*zone) {
      next(out);
      out += '[';
      for (const auto& ring : polygon.rings) {
        next(out);
        out += '[';
        Places(out, sheet.part.turn_deg, scale).add(ring);
        out += ']';
      }
      out += ']';
    }
  }
  return out + ']';
}

std::string levels_json(const chart::Chart& chart, double scale) {
  std::string out = "[";
  for (const double level : chart.levels) {
    next(out);
    Text head;
    append_json_string(chart::level_text(chart.query.quantity, level, chart.interval), head);
    out.append("{\"level\":").append(format_trimmed(level, 6)).append(",\"text\":").append(head.view());
    out += ",\"lines\":[";
    for (const chart::Sheet& sheet : chart.sheets) {
      for (const chart::Line& line : sheet.lines) {
        if (line.level != level) continue;
        next(out);
        out += line.closed ? "[1" : "[0";
        Places(out, sheet.part.turn_deg, scale).add(line.points);
        out += ']';
      }
    }
    out += "]}";
  }
  return out + ']';
}

std::string range_json(const std::optional<chart::Chart::Range>& range) {
  if (!range) return "null";
  return "[" + format_trimmed(range->least, 3) + "," + format_trimmed(range->most, 3) + "]";
}

}  // namespace

Result<std::string> chart_call(const field::Catalogue& catalogue, const Parameters& parameters,
                               std::chrono::sys_days today) {
  const auto query = chart::parse_query(parameters, today);
  if (!query) return query.problem();
  const auto chart = chart::chart(catalogue, *query, chart::Fineness::quick);
  if (!chart) return chart.problem();
  const double scale = std::ceil(kStepsOfGrid / chart->step_deg);
  Text head;
  JsonObject out(head);
  out.add("quantity", chart::word(query->quantity));
  out.add("unit", chart::unit(query->quantity));
  out.add("interval", chart->interval);
  out.add("step_deg", chart->step_deg);
  out.add("date", query->date.iso);
  out.add("decimal_year", query->date.decimal_year);
  out.add("model", chart->source.model->id);
  out.add("model_valid_from", chart->source.model->valid_from);
  out.add("model_valid_to", chart->source.model->valid_to);
  if (chart->source.neighbour != nullptr) {
    out.add("neighbour", chart->source.neighbour->id);
    out.add("seam_year", chart->source.seam_year);
  }
  out.add("scale", scale);
  out.end();
  std::string text(head.view());
  text.pop_back();  // what follows is written as it is
  text.append(",\"sigma_deg\":").append(range_json(chart->sigma_deg));
  text.append(",\"half_width_95_deg\":").append(range_json(chart->half_width_95_deg));
  text.append(",\"levels\":").append(levels_json(*chart, scale));
  text.append(",\"unusable\":").append(polygons_json(*chart, &chart::Sheet::unusable, scale));
  text.append(",\"caution\":").append(polygons_json(*chart, &chart::Sheet::caution, scale));
  return text + '}';
}

}  // namespace agonic
