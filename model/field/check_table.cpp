#include "model/field/check_table.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "model/field/field.hpp"
#include "model/field/lines.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::field {
namespace {

constexpr std::array<std::string_view, 8> kInputs{"date", "height_km", "lat", "lon", "n", "m", "tolerance", "station"};
constexpr double kEccentricity2 = (2 - 1 / 298.257223563) / 298.257223563;  // WGS84
// Room for the rounding of values that lie on a tie of their last digit, in units of that digit.
constexpr double kTieRoom = 1e-6;

bool is_input(std::string_view column) {
  return column == "observed_deg" || std::find(kInputs.begin(), kInputs.end(), column) != kInputs.end();
}

Tolerance read_tolerance(Lines& lines, std::string_view text) {
  if (text == "half a unit of the last printed digit") return {};
  if (text == "per row") return {Tolerance::Kind::per_row, 0};
  for (const auto& [word, kind] : {std::pair<std::string_view, Tolerance::Kind>{"absolute ", Tolerance::Kind::absolute},
                                   {"relative ", Tolerance::Kind::relative}}) {
    if (!text.starts_with(word)) continue;
    const auto value = parse_number(text.substr(word.size()));
    if (value && *value > 0) return {kind, *value};
  }
  lines.fail("no tolerance: '" + printable(text) + "'");
}

// Half a unit of the last digit of a printed number.
double half_last_digit(std::string_view printed) {
  const auto point = printed.find('.');
  const auto decimals = point == std::string_view::npos ? 0 : printed.size() - point - 1;
  return 0.5 * (1 + kTieRoom) * std::pow(10.0, -static_cast<double>(decimals));
}

// What one row asks for, and what its values are computed from.
struct Row {
  double date = 0, height_km = 0, lat = 0, lon = 0, n = 0, m = 0, tolerance = 0;
  const CoefficientSet* model = nullptr;
  FieldVector vector;
  Elements elements;
};

void set_input(Row& row, std::string_view column, double value) {
  if (column == "date") row.date = value;
  if (column == "height_km") row.height_km = value;
  if (column == "lat") row.lat = value;
  if (column == "lon") row.lon = value;
  if (column == "n") row.n = value;
  if (column == "m") row.m = value;
  if (column == "tolerance") row.tolerance = value;
}

double coefficient(const CoefficientSet& model, double date, int n, int m) {
  const TimeWeights w = model.weights(date);
  const std::size_t at = value_index(n, std::abs(m)) + static_cast<std::size_t>(m < 0);
  double value = 0;
  for (std::size_t k = 0; k < w.count; ++k) value += w.weight[k] * model.sets[w.first + k][at];
  return value;
}

// The pole of the dipole (degree 1) in the north. Its geodetic latitude is that of the point of the ellipsoid on
// the same geocentric latitude.
std::optional<double> dipole_pole(std::string_view column, const CoefficientSet& model, double date) {
  const double g10 = coefficient(model, date, 1, 0);
  const double g11 = coefficient(model, date, 1, 1);
  const double h11 = coefficient(model, date, 1, -1);
  const double tangent = -g10 / std::hypot(g11, h11);
  if (column == "geomagnetic_geocentric_lat_deg") return std::atan(tangent) / kDegree;
  if (column == "geomagnetic_lat_deg") return std::atan(tangent / (1 - kEccentricity2)) / kDegree;
  if (column == "geomagnetic_lon_deg") return std::atan2(-h11, -g11) / kDegree;
  return std::nullopt;
}

std::optional<double> computed(std::string_view column, const Row& row) {
  const FieldVector& v = row.vector;
  const Elements& e = row.elements;
  const std::array<std::pair<std::string_view, double>, 14> plain{{
      {"north_nt", v.north_nt},
      {"east_nt", v.east_nt},
      {"down_nt", v.down_nt},
      {"horizontal_nt", e.horizontal_nt},
      {"total_nt", e.total_nt},
      {"inclination_deg", e.inclination_deg},
      {"declination_deg", e.declination_deg},
      {"north_change_nt_per_year", v.north_nt_per_year},
      {"east_change_nt_per_year", v.east_nt_per_year},
      {"down_change_nt_per_year", v.down_nt_per_year},
      {"horizontal_change_nt_per_year", e.horizontal_nt_per_year},
      {"total_change_nt_per_year", e.total_nt_per_year},
      {"inclination_change_deg_per_year", e.inclination_deg_per_year},
      {"declination_change_deg_per_year", e.declination_deg_per_year},
  }};
  for (const auto& [name, value] : plain)
    if (name == column) return value;
  // Published for |latitude| > 55: from grid north of the polar grid, whose north is the meridian of Greenwich.
  if (column == "grid_variation_deg") return e.declination_deg + (row.lat > 0 ? -row.lon : row.lon);
  if (column == "absolute_inclination_deg") return std::abs(e.inclination_deg);
  if (column == "coefficient_nt") {
    return coefficient(*row.model, row.date, static_cast<int>(row.n), static_cast<int>(row.m));
  }
  return dipole_pole(column, *row.model, row.date);
}

double allowed(const Tolerance& tolerance, const Row& row, std::string_view printed, double value) {
  switch (tolerance.kind) {
    case Tolerance::Kind::absolute:
      return tolerance.value;
    case Tolerance::Kind::relative:
      return tolerance.value * std::abs(value);
    case Tolerance::Kind::per_row:
      return row.tolerance;
    case Tolerance::Kind::last_digit:
      break;
  }
  return half_last_digit(printed);
}

bool turns(std::string_view column) {
  return column == "declination_deg" || column == "grid_variation_deg" || column == "geomagnetic_lon_deg";
}

}  // namespace

CheckTable read_check_table(const std::string& file, std::string_view text) {
  CheckTable table;
  Lines lines(file, text);
  bool tolerance = false;
  while (table.columns.empty()) {
    if (!lines.next()) lines.fail("the file ends before its line 'columns'");
    const auto colon = lines.line().find(": ");
    if (colon == std::string_view::npos) lines.fail("a line 'key: value' is expected");
    const std::string_view key = lines.line().substr(0, colon);
    const std::string_view value = lines.line().substr(colon + 2);
    if (key == "name") {
      table.name = value;
    } else if (key == "model") {
      table.model = value;
    } else if (key == "source") {
      table.source = value;
    } else if (key == "tolerance") {
      table.tolerance = read_tolerance(lines, value);
      tolerance = true;
    } else if (key == "columns") {
      lines.word();
      for (auto name = lines.word(); !name.empty(); name = lines.word()) table.columns.emplace_back(name);
    } else {
      lines.fail("unknown key '" + printable(key) + "'");
    }
  }
  if (table.name.empty() || table.model.empty() || table.source.empty() || !tolerance) {
    lines.fail("name, model, source and tolerance are needed above the columns");
  }
  table.first_row_line = lines.line_number() + 1;
  while (lines.next()) {
    std::vector<std::string> row;
    for (auto cell = lines.word(); !cell.empty(); cell = lines.word()) row.emplace_back(cell);
    if (row.size() != table.columns.size()) {
      lines.fail(std::to_string(table.columns.size()) + " cells are expected, not " + std::to_string(row.size()));
    }
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (table.columns[i] != "station" && row[i] != "-" && !parse_number(row[i])) {
        lines.fail("no number: '" + printable(row[i]) + "'");
      }
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

SelftestRow run_check(const CheckTable& table, const Catalogue& catalogue) {
  SelftestRow result{.name = table.name, .model = table.model, .source = table.source, .worst = {}};
  const auto note = [&](const std::string& text) {
    ++result.wrong;
    if (result.worst.empty()) result.worst = text;
  };
  int line = table.first_row_line;
  for (const auto& cells : table.rows) {
    Row row;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (is_input(table.columns[i]) && table.columns[i] != "station" && cells[i] != "-") {
        set_input(row, table.columns[i], parse_number(cells[i]).value_or(0));
      }
    }
    std::string where = table.name;
    where.append(", row of line ").append(std::to_string(line++));
    const auto choice = catalogue.choose(table.model, row.date);
    if (!choice) {
      note(where + ": " + choice.problem().text());
      continue;
    }
    row.model = choice->model;
    row.vector = evaluate(*row.model, row.lat, row.lon, row.height_km * 1000, row.date);
    row.elements = elements(row.vector);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::string& column = table.columns[i];
      if (is_input(column) || cells[i] == "-") continue;
      const auto value = computed(column, row);
      if (!value) throw BadCoefficients(table.name, line - 1, "no such value: " + column);
      const double printed = parse_number(cells[i]).value_or(0);
      const double difference = turns(column) ? wrap_180(*value - printed) : *value - printed;
      ++result.values;
      // Written so that no number at all is wrong too.
      if (!(std::abs(difference) <= allowed(table.tolerance, row, cells[i], printed))) {
        std::string text = where;
        text.append(": ").append(column).append(" is ").append(format_trimmed(*value, 9));
        note(text.append(", published ").append(cells[i]));
      }
    }
  }
  return result;
}

}  // namespace agonic::field
