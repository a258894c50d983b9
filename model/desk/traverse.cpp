// POST /v1/traverse: the document read and worked.
#include <algorithm>
#include <array>
#include <cmath>

#include "model/desk/traverse_sheet.hpp"
#include "model/survey/thresholds.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::desk {
namespace {

constexpr std::array<std::string_view, 3> kNeeded{"from", "to", "fore"};
constexpr std::array<std::string_view, 7> kKnown{"from",           "to",           "fore", "back", "length_m",
                                                 "vertical_angle", "vertical_back"};

struct Units {
  reading::TextRules rules;
  reading::AzimuthUnit azimuth = reading::AzimuthUnit::deg;
  reading::VerticalUnit vertical = reading::VerticalUnit::deg;
};

struct Slope {
  double slope_deg = 0;             // from the line's beginning up to its end
  std::optional<double> index_deg;  // of the vertical circle, where the line was read both ways
};

// Read up as a and back as b, an index error e adds to both: the slope is (a - b) / 2 and e is (a + b) / 2.
Result<Slope> slope_of(const Table& table, const Row& row, const Units& units, bool backs_reversed) {
  std::optional<double> fore, back;
  for (const auto& [name, into] : {std::pair{"vertical_angle", &fore}, std::pair{"vertical_back", &back}}) {
    const auto text = table.cell(row, name);
    if (!text) continue;
    auto angle = reading::parse_inclined(*text, units.vertical, name, units.rules);
    if (!angle) return angle.problem();
    if (*angle < -90 || *angle > 90)
      return Problem{Code::reading_out_of_range, name, std::string(*text),
                     "a vertical angle lies between -90 and 90 degrees", "If it is a slope, say vertical_unit=percent"};
    *into = *angle;
  }
  if (back && backs_reversed) back = -*back;
  if (!fore || !back) return Slope{fore ? *fore : back ? 0.0 - *back : 0.0, std::nullopt};
  const double limit = survey::threshold::kVerticalDeg;
  if (*fore * *back > 0 && std::abs(*fore) > limit && std::abs(*back) > limit)
    return Problem{Code::contradiction, "vertical_back", std::string(*table.cell(row, "vertical_back")),
                   "both vertical angles go the same way: one should go up and the other down",
                   "Look it up; if signs of all back angles were turned already, say backs=reversed"};
  return Slope{(*fore - *back) / 2, (*fore + *back) / 2};
}

Result<survey::Leg> leg_of(const Table& table, const Row& row, const Units& units, bool backs_reversed,
                           std::optional<double>& vertical_index) {
  if (row.problem) return *row.problem;
  survey::Leg leg;
  for (const auto& [name, into] : {std::pair{"from", &leg.from}, std::pair{"to", &leg.to}}) {
    const auto text = table.cell(row, name);
    if (!text) return Problem{Code::missing_value, name, {}, "the station has no name", "Give it one"};
    *into = std::string(*text);
  }
  if (leg.from == leg.to)
    return Problem{Code::contradiction, "to", leg.to, "the line ends where it begins", "Look up the stations"};
  for (const auto& [name, into] : {std::pair{"fore", &leg.fore_deg}, std::pair{"back", &leg.back_deg}})
    if (const auto text = table.cell(row, name)) {
      auto azimuth = azimuth_of(*text, name, units.azimuth, units.rules);
      if (!azimuth) return azimuth.problem();
      *into = *azimuth;
    }
  if (!leg.fore_deg && !leg.back_deg)
    return Problem{Code::missing_value, "fore", {}, "the line was read from neither end", "Give fore or back"};
  if (backs_reversed && leg.back_deg) leg.back_deg = wrap_360(*leg.back_deg + 180);
  if (const auto text = table.cell(row, "length_m")) {
    auto length = number(table, *text, "length_m");
    if (!length) return length.problem();
    if (!(*length > 0 && *length <= 1e6))
      return Problem{Code::out_of_range, "length_m", std::string(*text), "a length lies above 0 m",
                     "Give metres, along the line"};
    leg.length_m = *length;
  }
  auto slope = slope_of(table, row, units, backs_reversed);
  if (!slope) return slope.problem();
  vertical_index = slope->index_deg;
  leg.vertical_deg = slope->slope_deg;
  return leg;
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(','), text.size());
    if (const auto word = trim(text.substr(0, end)); !word.empty()) out.emplace_back(word);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

std::optional<Problem> read_options(const Parameters& parameters, TraverseSheet& sheet,
                                    survey::AttractionRules& rules) {
  if (const auto text = parameters.get("tolerance_deg")) {
    auto value = number(parameters, "tolerance_deg", 0);
    if (!value) return value.problem();
    rules.tolerance_deg = *value;
  }
  if (const auto text = parameters.get("free_stations")) rules.free = words_of(*text);
  if (const auto text = parameters.get("backs")) {
    if (*text != "read" && *text != "reversed")
      return Problem{Code::unknown_name, "backs", std::string(*text), "this value is not known",
                     "Give read (as they stood on the circle) or reversed (180 was taken off already)"};
    sheet.backs_reversed = *text == "reversed";
  }
  for (const auto& [name, into] : {std::pair{"reading_sigma", &sheet.precision.azimuth_sigma_deg},
                                   std::pair{"length_sigma_percent", &sheet.precision.length_sigma_percent},
                                   std::pair{"azimuth_index_error", &sheet.index_deg}}) {
    auto value = number(parameters, name, *into);
    if (!value) return value.problem();
    *into = *value;
  }
  if (!(sheet.index_deg >= -180 && sheet.index_deg <= 180))
    return Problem{Code::out_of_range, "azimuth_index_error", format_trimmed(sheet.index_deg),
                   "an index error lies within 180 degrees", "Give reading minus truth, in degrees"};
  if (const auto text = parameters.get("set_declination")) {
    DeclinationReading how{"set_declination"};
    if (parameters.writer == Writer::person) how.unsigned_means = UnsignedMeans::refused;
    auto set = parse_declination(*text, how);
    if (!set) return set.problem();
    sheet.set_deg = *set;
  } else if (sheet.where) {
    return Problem{Code::set_declination_unknown,
                   "set_declination",
                   {},
                   "for true azimuths it must be known what was set on the circle",
                   "Give it; 0 if nothing was set"};
  }
  return std::nullopt;
}

}  // namespace

std::optional<double> TraverseSheet::true_deg(std::size_t leg) const {
  if (!where || !azimuths_deg[leg]) return std::nullopt;
  const Azimuth<Circle> read(*azimuths_deg[leg]);
  return (magnetic(read, {set_deg}, {index_deg}) + Declination{where->field.elements.declination_deg}).degrees();
}

std::optional<double> TraverseSheet::grid_deg(std::size_t leg) const {
  const auto azimuth = true_deg(leg);
  if (!azimuth || !where->convergence) return std::nullopt;
  return (Azimuth<True>(*azimuth) - *where->convergence).degrees();
}

std::optional<double> TraverseSheet::sigma_deg(std::size_t leg) const {
  if (!true_deg(leg)) return std::nullopt;
  return std::hypot(where->field.sigma_deg, precision.azimuth_sigma_deg);
}

Result<Answer> traverse(const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request) {
  TraverseSheet sheet;
  Parameters parameters = request.parameters;
  auto table = read_table(request, {"legs", kNeeded, kKnown}, parameters);
  if (!table) return table.problem();
  sheet.table = *std::move(table);
  if (auto problem = parameters.unknown({"tolerance_deg",
                                         "free_stations",
                                         "backs",
                                         "azimuth_unit",
                                         "vertical_unit",
                                         "reading_sigma",
                                         "length_sigma_percent",
                                         "place",
                                         "lat",
                                         "lon",
                                         "height_m",
                                         "date",
                                         "model",
                                         "crs",
                                         "letters",
                                         "date_order",
                                         "set_declination",
                                         "azimuth_index_error",
                                         "force_unusable",
                                         "decimal",
                                         "delimiter"}))
    return *problem;
  auto where_answer = where(catalogue, grids, parameters, request.today);
  if (!where_answer) return where_answer.problem();
  sheet.where = *std::move(where_answer);
  if (sheet.where)
    if (auto problem = needle_problem(*sheet.where, parameters)) return *problem;
  survey::AttractionRules rules;
  if (auto problem = read_options(parameters, sheet, rules)) return *problem;

  Units units;
  auto text = text_rules(sheet.table, parameters);
  auto azimuth_unit = reading::parse_azimuth_unit(parameters.get("azimuth_unit").value_or(""));
  auto vertical_unit = reading::parse_vertical_unit(parameters.get("vertical_unit").value_or(""));
  if (!text) return text.problem();
  if (!azimuth_unit) return azimuth_unit.problem();
  if (!vertical_unit) return vertical_unit.problem();
  units = {*text, *azimuth_unit, *vertical_unit};
  sheet.style = style_of(sheet.table, {"fore", "back"});

  for (std::size_t i = 0; i < sheet.table.rows.size(); ++i) {
    std::optional<double> vertical_index;
    auto leg = leg_of(sheet.table, sheet.table.rows[i], units, sheet.backs_reversed, vertical_index);
    sheet.refused.push_back(leg ? std::nullopt : std::optional(leg.problem()));
    if (!leg) continue;
    sheet.row_of.push_back(i);
    sheet.vertical_index_deg.push_back(vertical_index);
    sheet.legs.push_back(*std::move(leg));
  }
  if (sheet.legs.empty()) {
    Problem first = *sheet.refused.front();
    first.message = "no line could be read; the first one because " + first.message;
    return first;
  }
  auto found = survey::local_attraction(sheet.legs, rules);
  if (!found) return found.problem();
  sheet.found = *std::move(found);
  // A refused row breaks a figure: what is left of it may look closed and is another.
  if (sheet.legs.size() == sheet.table.rows.size()) sheet.figure = survey::closed_figure(sheet.legs, sheet.found);
  std::vector<std::optional<double>> of_coordinates;
  for (std::size_t i = 0; i < sheet.legs.size(); ++i) {
    const bool by_angles = sheet.figure && !sheet.figure->azimuths_deg.empty();
    sheet.azimuths_deg.push_back(by_angles ? std::optional(sheet.figure->azimuths_deg[i])
                                           : sheet.found.legs[i].azimuth_deg);
    of_coordinates.push_back(sheet.where ? sheet.grid_deg(i) : sheet.azimuths_deg.back());
  }
  sheet.coordinates_north = sheet.where ? "grid north (" + sheet.where->grid + ")" : "the north of the readings";
  auto coordinates = survey::coordinates(sheet.legs, of_coordinates, sheet.figure.has_value(), sheet.precision);
  if (!coordinates) return coordinates.problem();
  sheet.coordinates = *std::move(coordinates);

  const std::vector<Note> notes = traverse_notes(sheet);
  const std::vector<Added> added = traverse_added(sheet);
  if (auto problem = name_taken(sheet.table, added.front())) return *problem;
  Answer out;
  out.rows = sheet.table.rows.size();
  out.refused = out.rows - sheet.legs.size();
  out.body = request.out == Format::csv    ? rows_csv(sheet.table, added)
             : request.out == Format::json ? traverse_json(sheet, notes)
                                           : traverse_text(sheet, notes);
  out.summary_json = summary_json(out, notes);
  out.summary_line = summary_line(sheet.table, sheet.refused, "line");
  return out;
}

}  // namespace agonic::desk
