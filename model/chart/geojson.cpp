// RFC 7946, The GeoJSON Format.
#include "model/chart/document.hpp"
#include "model/units/json_out.hpp"
#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

constexpr int kDecimals = 6;  // RFC 7946 11.2: about 10 centimetres

void put(Vertex at, Text& out) {
  out += '[';
  out += format_trimmed(at.lon_deg, kDecimals);
  out += ',';
  out += format_trimmed(at.lat_deg, kDecimals);
  out += ']';
}
void put(const std::vector<Vertex>& points, bool closed, Text& out) {
  out += '[';
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i > 0) out += ',';
    put(points[i], out);
  }
  if (closed) {
    out += ',';
    put(points.front(), out);
  }
  out += ']';
}

// Everything between two commas; what a list is made of.
class List {
 public:
  explicit List(Text& out) : out_(out) {}
  void next() {
    if (!first_) out_ += ',';
    first_ = false;
  }

 private:
  Text& out_;
  bool first_ = true;
};

void put_level(const Chart& chart, double level, Text& out) {
  out += R"({"type":"Feature","properties":)";
  JsonObject properties(out);
  properties.add("quantity", word(chart.query.quantity)).add("value", level).add("unit", unit(chart.query.quantity));
  properties.add("text", level_text(chart.query.quantity, level, chart.interval));
  if (chart.query.quantity == Quantity::declination) properties.add("agonic", level == 0);
  properties.end();
  out += R"(,"geometry":{"type":"MultiLineString","coordinates":[)";
  List list(out);
  for (const Sheet& sheet : chart.sheets) {
    for (const Line& line : sheet.lines) {
      if (line.level != level) continue;
      list.next();
      put(line.points, line.closed, out);
    }
  }
  out += "]}}";
}

void put_zone(const Chart& chart, std::vector<Polygon> Sheet::*which, field::Needle needle, double below_nt,
              List& features, Text& out) {
  bool any = false;
  for (const Sheet& sheet : chart.sheets) any = any || !(sheet.*which).empty();
  if (!any) return;
  features.next();
  out += R"({"type":"Feature","properties":)";
  JsonObject properties(out);
  properties.add("needle", field::word(needle)).add("horizontal_nt_below", below_nt);
  properties.end();
  out += R"(,"geometry":{"type":"MultiPolygon","coordinates":[)";
  List polygons(out);
  for (const Sheet& sheet : chart.sheets) {
    for (const Polygon& polygon : sheet.*which) {
      polygons.next();
      out += '[';
      List rings(out);
      for (const std::vector<Vertex>& ring : polygon.rings) {
        rings.next();
        put(ring, true, out);
      }
      out += ']';
    }
  }
  out += "]}}";
}

}  // namespace

std::string to_geojson(const Chart& chart) {
  Text out;
  JsonObject head(out);
  head.add("type", "FeatureCollection");
  const Box& box = chart.query.box;
  const double east =
      box.east > 180 ? box.east - 360 : box.east;  // RFC 7946 5.2: west above east across the antimeridian
  out += ",\"bbox\":[";
  for (const double side : {box.west, box.south, east}) {
    append_json_number(side, out);
    out += ',';
  }
  append_json_number(box.north, out);
  out += ']';
  const field::CoefficientSet& model = *chart.source.model;
  head.add("quantity", word(chart.query.quantity)).add("unit", unit(chart.query.quantity));
  head.add("interval", chart.interval).add("step_deg", chart.step_deg);
  head.add("accuracy", line_accuracy(chart.query.quantity));
  head.add("date", chart.query.date.iso).add("decimal_year", chart.source.decimal_year);
  head.add("height_m", chart.query.height_m).add("model", model.id);
  head.add("model_valid_from", model.valid_from).add("model_valid_to", model.valid_to);
  head.add("software", "agonic " AGONIC_VERSION);
  head.add("uncertainty", uncertainty_note(chart)).add("caution", kCaution);
  head.add("warnings", std::span<const std::string>(chart.notes));
  out += ",\"features\":[";
  List features(out);
  for (const double level : chart.levels) {
    bool any = false;
    for (const Sheet& sheet : chart.sheets)
      for (const Line& line : sheet.lines) any = any || line.level == level;
    if (!any) continue;
    features.next();
    put_level(chart, level, out);
  }
  put_zone(chart, &Sheet::unusable, field::Needle::unusable, field::kNeedleUnusableNt, features, out);
  put_zone(chart, &Sheet::caution, field::Needle::caution, field::kNeedleCautionNt, features, out);
  out += ']';
  head.end();
  return std::string(out.view());
}

}  // namespace agonic::chart
