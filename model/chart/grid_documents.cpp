// CoverageJSON: OGC 21-069r2 (clauses 6 to 9); units by UCUM.
#include <algorithm>
#include <array>
#include <cmath>

#include "model/chart/document.hpp"
#include "model/units/json_out.hpp"
#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

struct Column {
  Quantity quantity;
  std::string_view symbol;  // UCUM
  int decimals;             // in CSV
};
constexpr std::array kColumns{
    Column{Quantity::declination, "deg", 5},       Column{Quantity::declination_change, "deg/a", 5},
    Column{Quantity::declination_sigma, "deg", 5}, Column{Quantity::declination_95, "deg", 5},
    Column{Quantity::horizontal, "nT", 2},         Column{Quantity::inclination, "deg", 5}};

// The whole grid of the box.
struct Grid {
  explicit Grid(const Chart& chart)
      : lat(rows(chart.query.box, chart.step_deg)), lon(columns(chart.query.box, chart.step_deg)), turned(lon) {
    for (double& one : turned)
      if (one > 180) one -= 360;
    sample_grid(chart.source, lat, turned, samples);
  }
  [[nodiscard]] std::size_t size() const { return samples.size(); }
  // D has no meaning at the geographic poles and where there is no horizontal field.
  [[nodiscard]] bool defined(Quantity quantity, std::size_t node) const {
    const double h = at(samples, node).horizontal();
    if (quantity == Quantity::declination) return std::fabs(lat[node / lon.size()]) < 90 && h > 0;
    return quantity != Quantity::declination_change || h > 0;
  }
  std::vector<double> lat, lon, turned;
  Samples samples;
};

void put_axis(const std::vector<double>& values, Text& out) {
  const double step = values[1] - values[0];
  const bool regular = std::all_of(values.begin(), values.end(), [&](const double& value) {
    return std::fabs(values.front() + step * static_cast<double>(&value - values.data()) - value) < 1e-9;
  });
  JsonObject axis(out);
  if (regular) {
    axis.add("start", values.front()).add("stop", values.back()).add_count("num", values.size());
    axis.end();
    return;
  }
  out += "\"values\":[";
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (i > 0) out += ',';
    append_json_number(values[i], out);
  }
  out += ']';
  axis.end();
}

std::string instant(const Date& date) { return date.iso.size() == 10 ? date.iso + "T00:00:00Z" : date.iso; }

std::string basis(const Chart& chart, Quantity quantity) {
  std::string text = std::string(title(quantity)) + " by " + chart.source.model->id + " at " +
                     format_trimmed(chart.query.height_m) + " m above the WGS84 ellipsoid";
  if (quantity == Quantity::declination) text += ", east positive";
  if (quantity == Quantity::declination_change) text += ", eastward positive";
  if (quantity == Quantity::inclination) text += ", down positive";
  if (quantity == Quantity::declination_sigma || quantity == Quantity::declination_95)
    text += "; " +
            std::string(field::declination_uncertainty(*chart.source.model, chart.source.decimal_year, 1).sigma_basis);
  return text;
}

void put_text(std::string_view name, std::string_view text, Text& out) {
  out += '"';
  out += name;
  out += R"(":{"en":)";
  append_json_string(text, out);
  out += '}';
}

}  // namespace

std::string to_coverage_json(const Chart& chart) {
  const Grid grid(chart);
  Text out;
  out += R"({"type":"Coverage","domain":{"type":"Domain","domainType":"Grid","axes":{"x":)";
  put_axis(grid.lon, out);
  out += R"(,"y":)";
  put_axis(grid.lat, out);
  out += R"(,"t":{"values":[)";
  append_json_string(instant(chart.query.date), out);
  out += R"(]}},"referencing":[{"coordinates":["x","y"],"system":{"type":"GeographicCRS","id":)"
         R"("http://www.opengis.net/def/crs/OGC/1.3/CRS84"}},{"coordinates":["t"],"system":{"type":"TemporalRS",)"
         R"("calendar":"Gregorian"}}]},"parameters":{)";
  bool first = true;
  for (const Column& column : kColumns) {
    if (!first) out += ',';
    first = false;
    out += '"';
    out += field_name(column.quantity);
    out += R"(":{"type":"Parameter",)";
    put_text("description", basis(chart, column.quantity), out);
    out += R"(,"unit":{)";
    put_text("label", unit(column.quantity), out);
    out += R"(,"symbol":{"value":)";
    append_json_string(column.symbol, out);
    out += R"(,"type":"http://www.opengis.net/def/uom/UCUM/"}},"observedProperty":{)";
    put_text("label", title(column.quantity), out);
    out += "}}";
  }
  out += R"(},"ranges":{)";
  first = true;
  for (const Column& column : kColumns) {
    if (!first) out += ',';
    first = false;
    out += '"';
    out += field_name(column.quantity);
    out += R"(":{"type":"NdArray","dataType":"float","axisNames":["t","y","x"],"shape":[1,)";
    out += std::to_string(grid.lat.size());
    out += ',';
    out += std::to_string(grid.lon.size());
    out += R"(],"values":[)";
    for (std::size_t i = 0; i < grid.size(); ++i) {
      if (i > 0) out += ',';
      if (grid.defined(column.quantity, i))
        append_json_number(value(chart.source, column.quantity, at(grid.samples, i)), out);
      else
        out += "null";
    }
    out += "]}";
  }
  out += "}}";
  return std::string(out.view());
}

std::string to_csv(const Chart& chart) {
  const Grid grid(chart);
  Text out;
  out += "lat_deg,lon_deg";
  for (const Column& column : kColumns) {
    out += ',';
    out += field_name(column.quantity);
  }
  out += ",needle,date,height_m,model,software\r\n";
  const std::string tail = "," + chart.query.date.iso + "," + format_trimmed(chart.query.height_m) + "," +
                           chart.source.model->id + ",agonic " AGONIC_VERSION "\r\n";
  for (std::size_t i = 0; i < grid.size(); ++i) {
    out += format_trimmed(grid.lat[i / grid.lon.size()], 6);
    out += ',';
    out += format_trimmed(grid.turned[i % grid.lon.size()], 6);
    const Sample sample = at(grid.samples, i);
    for (const Column& column : kColumns) {
      out += ',';
      if (grid.defined(column.quantity, i)) out.fixed(value(chart.source, column.quantity, sample), column.decimals);
    }
    out += ',';
    out += field::word(field::needle(sample.horizontal()));
    out += tail;
  }
  return std::string(out.view());
}

}  // namespace agonic::chart
