#include "model/reading/read_row.hpp"

#include <cmath>

#include "model/reading/plane.hpp"
#include "model/reading/read_cells.hpp"
#include "model/reading/read_instrument.hpp"
#include "model/units/number.hpp"
#include "model/units/yes.hpp"

namespace agonic::reading {
namespace {

constexpr double kUndoneDeg = 0.0015;  // azimuth and correction were each printed to 0.001

MaybeProblem missing(Column column, std::string message, std::string remedy) {
  return Problem{Code::missing_value, std::string(name(column)), "", std::move(message), std::move(remedy)};
}

Result<NorthReference> parse_north(std::string_view text) {
  const std::string_view word = trim(text);
  if (word.empty() || is_word(word, "unknown")) return NorthReference::unknown;
  if (is_word(word, "circle")) return NorthReference::circle;
  if (is_word(word, "magnetic")) return NorthReference::magnetic;
  if (is_word(word, "true")) return NorthReference::true_north;
  if (is_word(word, "grid")) return NorthReference::grid;
  return Problem{Code::unknown_name, "north_reference", std::string(text), "this is no reference north",
                 "Give circle (as read off the instrument), magnetic, true, grid or unknown"};
}

Result<PlaneConvention> parse_convention(std::string_view text) {
  const std::string_view word = trim(text);
  if (is_word(word, "right_hand")) return PlaneConvention::right_hand;
  if (is_word(word, "left_hand")) return PlaneConvention::left_hand;
  if (is_word(word, "dip_direction")) return PlaneConvention::dip_direction;
  if (is_word(word, "quadrant")) return PlaneConvention::quadrant;
  return Problem{Code::unknown_name, "plane_convention", std::string(text), "this is no plane convention",
                 "Give right_hand, left_hand, dip_direction or quadrant"};
}

MaybeProblem read_where(const CellReader& cells, Circumstances& reading) {
  const Effective place = cells.get(Column::place), lat = cells.get(Column::lat), lon = cells.get(Column::lon);
  const bool own_place = cells.own(Column::place), own_lat_lon = cells.own(Column::lat) || cells.own(Column::lon);
  if (own_place && own_lat_lon)
    return Problem{Code::contradiction, "place", std::string(place.text), "place and lat, lon are both filled",
                   "Keep one of them"};
  const bool by_text = own_place || (place && !own_lat_lon && !lat && !lon);
  if (by_text || (place && !own_lat_lon && !(lat && lon))) {
    auto parsed = geodesy::parse_place(place.text, cells.rules().letters, place.mark);
    if (!parsed) return parsed.problem();
    reading.place = *std::move(parsed);
  } else if (lat || lon) {
    if (!lat) return missing(Column::lat, "the latitude is missing", "Give lat and lon together");
    if (!lon) return missing(Column::lon, "the longitude is missing", "Give lat and lon together");
    auto parsed = geodesy::parse_lat_lon(lat.text, lon.text, cells.rules().letters, lat.mark);
    if (!parsed) return parsed.problem();
    reading.place = *std::move(parsed);
  } else if (reading.north != NorthReference::true_north || reading.applied) {
    return missing(Column::place, "the place is missing", "Give place, or lat and lon");
  }
  if (const Effective height = cells.get(Column::height_m)) {
    auto metres = geodesy::parse_height(height.text, height.mark);
    if (!metres) return metres.problem();
    reading.height_m = *metres;
  }
  return std::nullopt;
}

MaybeProblem read_when(const CellReader& cells, Circumstances& reading, bool needed) {
  auto date = cells.date(Column::date);
  if (!date) return date.problem();
  if (*date) {
    // A notebook east of Greenwich may be a day ahead of UTC. This month and this year are no future, though their
    // middles may be.
    if ((*date)->earliest > cells.rules().today + std::chrono::days(1))
      return Problem{Code::date_future, "date", std::string(cells.get(Column::date).text),
                     "the reading lies in the future",
                     "Look the date up in the notebook; for a coming trip ask for the declination or the setting"};
    reading.date = **date;
  } else if (needed) {
    return parse_date("", {cells.rules().today, cells.rules().date_order, "date"}).problem();
  }
  auto target = cells.date(Column::target_date);
  if (!target) return target.problem();
  reading.target_date = *std::move(target);
  return std::nullopt;
}

// The kind as it follows from what is filled.
Result<Kind> kind_from_cells(const CellReader& cells) {
  const auto filled = [&](Column column) { return static_cast<bool>(cells.get(column)); };
  const bool dip = filled(Column::dip) || filled(Column::rake), plunge = filled(Column::plunge),
             vertical = filled(Column::vertical_angle);
  if (dip + plunge + vertical > 1)
    return Problem{Code::contradiction, "kind", "", "more than one of dip, plunge and vertical_angle is filled",
                   "Say kind: direction, plane or line, and keep the one that belongs to it"};
  // A strike alone: the row's own convention says that it is one.
  const bool strike_alone = !plunge && !vertical && cells.own(Column::plane_convention);
  if (dip || strike_alone) return Kind::plane;
  return plunge ? Kind::line : Kind::direction;
}

Result<Kind> parse_kind(const CellReader& cells) {
  const Effective kind = cells.get(Column::kind);
  const std::string_view word = kind.text;
  if (word.empty()) return kind_from_cells(cells);
  if (is_word(word, "direction")) return Kind::direction;
  if (is_word(word, "plane")) return Kind::plane;
  if (is_word(word, "line")) return Kind::line;
  return Problem{Code::unknown_name, "kind", std::string(kind.text), "this is no kind of reading",
                 "Give direction, plane or line, or leave it blank to be told from the filled columns"};
}

MaybeProblem read_kind(const CellReader& cells, Reading& reading) {
  auto kind = parse_kind(cells);
  if (!kind) return kind.problem();
  reading.kind = *kind;

  struct Owner {
    Column column;
    Kind kind;
    std::string_view of;
  };
  for (const Owner& owner :
       {Owner{Column::dip, Kind::plane, "planes"}, Owner{Column::rake, Kind::plane, "planes"},
        Owner{Column::plunge, Kind::line, "lines"}, Owner{Column::vertical_angle, Kind::direction, "directions"}})
    if (reading.kind != owner.kind && cells.own(owner.column))
      return not_applicable(owner.column, cells.get(owner.column), "it belongs to " + std::string(owner.of) + " only",
                            "Clear it, or correct kind");
  return std::nullopt;
}

MaybeProblem read_azimuth(const CellReader& cells, Reading& reading) {
  auto unit = parse_azimuth_unit(cells.get(Column::azimuth_unit).text);
  if (!unit) return unit.problem();
  const Effective azimuth = cells.get(Column::azimuth);
  auto parsed = parse_azimuth(azimuth.text, *unit, cells.text_rules(azimuth));
  if (!parsed) return parsed.problem();
  reading.azimuth = *parsed;
  return std::nullopt;
}

// A second statement of the plane: degrees, a quadrant bearing, or a compass point, which says the side only.
MaybeProblem read_dip_direction(const CellReader& cells, Reading& reading) {
  const Effective cell = cells.get(Column::dip_direction);
  if (!cell) return std::nullopt;
  const TextRules rules = cells.text_rules(cell);
  reading.dip_direction_deg = compass_point(cell.text, rules.letter_o);
  reading.dip_direction_by_letters = reading.dip_direction_deg.has_value();
  if (reading.dip_direction_deg) return std::nullopt;
  auto parsed = parse_azimuth(cell.text, AzimuthUnit::deg, rules);
  if (!parsed) {
    parsed.problem().field = name(Column::dip_direction);
    return parsed.problem();
  }
  reading.dip_direction_deg = parsed->degrees;
  return std::nullopt;
}

MaybeProblem read_plane(const CellReader& cells, Reading& reading) {
  const Effective convention = cells.get(Column::plane_convention);
  if (!convention)
    return Problem{Code::convention_missing, "plane_convention", "",
                   "the plane's notation is not declared: strike by the right or left hand, or dip direction",
                   "Declare right_hand, left_hand, dip_direction or quadrant, in the column or for the batch"};
  auto parsed = parse_convention(convention.text);
  if (!parsed) return parsed.problem();
  reading.convention = *parsed;

  if (const Effective dip = cells.get(Column::dip)) {
    auto angle = parse_lettered(dip.text, "dip", cells.text_rules(dip));
    if (!angle) return angle.problem();
    if (angle->degrees < 0 || angle->degrees > 90)
      return Problem{
          Code::reading_out_of_range, "dip", std::string(dip.text), "a dip lies between 0 and 90 degrees",
          "For an overturned bed write the dip below 90 with its direction and note it in a column of your own"};
    reading.dip_deg = angle->degrees;
    reading.dip_toward_deg = angle->toward_deg;
  }
  if (auto problem = read_dip_direction(cells, reading)) return problem;
  auto offset = dip_direction_offset(reading);
  if (!offset) {
    offset.problem().value = cells.get(Column::dip).text;
    return offset.problem();
  }
  if (const Effective rake = cells.get(Column::rake)) {
    auto angle = parse_lettered(rake.text, "rake", cells.text_rules(rake));
    if (!angle) return angle.problem();
    if (!*offset) return missing(Column::dip, "a rake needs the dip of its plane", "Give the dip, or clear the rake");
    auto from_strike =
        rake_from_right_hand_strike(*angle, wrap_360(reading.azimuth.degrees + **offset - 90), rake.text);
    if (!from_strike) return from_strike.problem();
    reading.rake_deg = *from_strike;
  }
  return std::nullopt;
}

MaybeProblem read_inclined(const CellReader& cells, Reading& reading) {
  const Column column = reading.kind == Kind::line ? Column::plunge : Column::vertical_angle;
  const Effective cell = cells.get(column);
  if (!cell) return std::nullopt;
  auto unit = parse_vertical_unit(cells.get(Column::vertical_unit).text);
  if (!unit) return unit.problem();
  auto angle = parse_inclined(cell.text, *unit, name(column), cells.text_rules(cell));
  if (!angle) return angle.problem();
  const double low = reading.kind == Kind::line ? 0 : -90;
  if (*angle < low || *angle > 90)
    return Problem{Code::reading_out_of_range, std::string(name(column)), std::string(cell.text),
                   reading.kind == Kind::line ? "a plunge lies between 0 and 90 degrees, down"
                                              : "a vertical angle lies between -90 and 90 degrees",
                   *angle > 90 || reading.kind == Kind::direction
                       ? "If it was read as a slope, say vertical_unit percent"
                       : "If it points up, write the opposite trend with a positive plunge"};
  (reading.kind == Kind::line ? reading.plunge_deg : reading.vertical_deg) = *angle;
  return std::nullopt;
}

MaybeProblem read_backsight(const CellReader& cells, Reading& reading) {
  if (!cells.any(bit(Column::backsight))) return std::nullopt;
  auto yes = cells.yes(Column::backsight);
  if (!yes) return yes.problem();
  if (!*yes) return std::nullopt;
  if (reading.kind == Kind::direction)
    reading.backsight = true;
  else if (cells.own(Column::backsight))
    return not_applicable(Column::backsight, cells.get(Column::backsight), "planes and lines are not sighted back",
                          "Clear it; give a line's trend in its downward direction");
  return std::nullopt;
}

MaybeProblem read_reference(const CellReader& cells, Circumstances& reading) {
  const Effective cell = cells.get(Column::north_reference);
  auto north = parse_north(cell.text);
  if (!north) return north.problem();
  reading.north = *north;
  reading.crs = cells.get(Column::crs).text;
  reading.target_crs = cells.get(Column::target_crs).text;
  if (reading.north == NorthReference::grid && reading.crs.empty())
    return missing(Column::crs, "a grid azimuth needs its grid", "Give crs, as utm, UTM 32N or EPSG:25832");
  return std::nullopt;
}

MaybeProblem read_set_declination(const CellReader& cells, Circumstances& reading, double year) {
  const Effective cell = cells.get(Column::set_declination);
  if (reading.north != NorthReference::circle) {
    if (reading.north != NorthReference::unknown && cells.own(Column::set_declination))
      return not_applicable(Column::set_declination, cell, "what was set on the circle matters to circle rows only",
                            "Clear it, or say north_reference circle if the azimuth is as read off the instrument");
    // Called true although nothing was set on a needle instrument: asked about.
    if (reading.north == NorthReference::true_north && cell.from_default && parse_number(cell.text) == 0.0)
      reading.default_set_ignored = true;
    // So says the instrument's record.
    if (reading.north == NorthReference::true_north && reading.instrument && reading.instrument->setting &&
        reading.instrument->setting->declination_deg == 0.0)
      reading.default_set_ignored = true;
    // What is filled helps to name the candidates.
    if (reading.north == NorthReference::unknown)
      if (const auto set = cells.written_declination(Column::set_declination, year)) reading.set_written = *set;
    return std::nullopt;
  }
  const bool left_open = !cell.is_null && (!cell || cell.from_default);
  if (left_open && reading.instrument && reading.instrument->setting) {
    const auto& held = *reading.instrument->setting;
    if (!held.declination_deg)
      return Problem{Code::set_declination_unknown, "set_declination", "",
                     "what was set on the circle is recorded as not known on that date (version " +
                         std::to_string(held.version) + " of its record)",
                     "Find out what was set and fill it in (0 = not set)"};
    reading.set_written = WrittenDeclination{*held.declination_deg, std::nullopt};
    reading.set = {*held.declination_deg};
    return std::nullopt;
  }
  auto set = cells.written_declination(Column::set_declination, year);
  if (!set) return set.problem();
  if (!*set && reading.instrument_problem) return reading.instrument_problem;
  if (!*set)
    return Problem{Code::set_declination_unknown, "set_declination", "",
                   "it is not said what was set on the circle, and blank is not 0",
                   "Fill in what was set (0 = not set), or give a default for the batch"};
  reading.set_written = **set;
  reading.set = {(*set)->deg};
  return std::nullopt;
}

MaybeProblem read_applied(const CellReader& cells, Circumstances& reading, double year) {
  const auto refuse = [&](Column column, std::string_view rows, std::string remedy) -> MaybeProblem {
    const Effective cell = cells.get(column);
    if (cells.own(column) && reading.north != NorthReference::unknown)
      return not_applicable(column, cell,
                            "it means that a correction is in the azimuth already: " + std::string(rows) + " rows only",
                            std::move(remedy));
    return std::nullopt;
  };
  if (reading.north == NorthReference::true_north) {
    auto applied = cells.written_declination(Column::applied_declination, year);
    if (!applied) return applied.problem();
    reading.applied = *applied;
  } else if (auto problem = refuse(Column::applied_declination, "true",
                                   "Say north_reference true if it was applied, or clear it")) {
    return problem;
  }
  if (reading.north == NorthReference::grid) {
    auto applied = cells.declination(Column::applied_grid_magnetic);
    if (!applied) return applied.problem();
    if (*applied) reading.applied_grid_magnetic = GridMagneticAngle{**applied};
  } else if (auto problem = refuse(Column::applied_grid_magnetic, "grid",
                                   "Say north_reference grid if it was applied, or clear it")) {
    return problem;
  }
  return std::nullopt;
}

MaybeProblem read_uncertainty(const CellReader& cells, Circumstances& reading) {
  struct Item {
    Column column;
    std::optional<double> Circumstances::*member;
    double high;
  };
  for (const Item& item : {Item{Column::graduation, &Circumstances::graduation, 90},
                           Item{Column::reading_sigma, &Circumstances::reading_sigma, 180},
                           Item{Column::dip_sigma, &Circumstances::dip_sigma, 90},
                           Item{Column::site_declination_sigma, &Circumstances::site_sigma, 180}}) {
    auto value = cells.number(item.column, 0, item.high);
    if (!value) return value.problem();
    reading.*item.member = *value;
  }
  if (reading.instrument && !cells.own(Column::graduation))
    reading.graduation = reading.instrument->description.circle.graduation_deg;
  auto site = cells.declination(Column::site_declination);
  if (!site) return site.problem();
  if (*site) reading.site = Declination{**site};
  return std::nullopt;
}

// A row taken again: undoing the earlier correction must give the azimuth that stands there, or somebody changed it.
MaybeProblem check_earlier(const Cells& row, const CellReader& cells, const Reading& reading) {
  // Its cells did not fit the header: what stands in them now may be one another's.
  if (row.earlier_checks.text.find(agonic::word(Code::row_malformed)) != std::string_view::npos)
    return Problem{Code::row_malformed, "", "", "the row was malformed when it was corrected before",
                   "Mend it in the original file and correct that"};
  if (row.earlier_azimuth_true.state == Cell::State::absent || row.earlier_correction.state == Cell::State::absent)
    return std::nullopt;
  const char mark = row.earlier_azimuth_true.state == Cell::State::number ? '.' : cells.rules().cell_mark;
  const auto azimuth = parse_number(row.earlier_azimuth_true.text, mark);
  const auto correction = parse_number(row.earlier_correction.text, mark);
  if (!azimuth || !correction) return std::nullopt;  // refused then
  const double undone = *azimuth - *correction - (reading.backsight ? 180 : 0);
  if (std::abs(wrap_180(undone - reading.azimuth.degrees)) <= kUndoneDeg) return std::nullopt;
  return Problem{Code::contradiction, "azimuth", std::string(cells.get(Column::azimuth).text),
                 "undoing the earlier correction gives " + format_azimuth(wrap_360(undone)) + ", not this azimuth",
                 "One of the two was changed since: look it up in the notebook"};
}

MaybeProblem read_all_circumstances(const CellReader& cells, Circumstances& reading) {
  if (auto problem = read_reference(cells, reading)) return problem;
  // Whether anything was applied decides if a true row needs its date; the note's own answer is worked out below.
  const bool applied = reading.north == NorthReference::true_north &&
                       (cells.get(Column::applied_declination) || cells.get(Column::applied_declination).is_null);
  const bool date_needed = reading.north != NorthReference::true_north || applied;
  if (auto problem = read_when(cells, reading, date_needed)) return problem;
  const double year = reading.date ? reading.date->decimal_year : 0;
  if (auto problem = read_applied(cells, reading, year)) return problem;
  if (auto problem = read_where(cells, reading)) return problem;
  read_instrument(cells, reading);
  if (auto problem = read_set_declination(cells, reading, year)) return problem;
  return read_uncertainty(cells, reading);
}

MaybeProblem read_all_measured(const Cells& row, const CellReader& cells, Reading& reading) {
  if (auto problem = read_kind(cells, reading)) return problem;
  if (auto problem = read_azimuth(cells, reading)) return problem;
  if (auto problem = read_index_errors(cells, reading)) return problem;
  if (auto problem = reading.kind == Kind::plane ? read_plane(cells, reading) : read_inclined(cells, reading))
    return problem;
  if (auto problem = check_instrument(cells, reading)) return problem;
  if (auto problem = read_backsight(cells, reading)) return problem;
  return check_earlier(row, cells, reading);
}

// The examples in remedies are written with a point; where the file's mark is the comma they would be refused again.
MaybeProblem in_its_own_mark(MaybeProblem problem, const Rules& rules) {
  if (problem && rules.cell_mark == ',' && problem->value.find('.') != std::string::npos &&
      (problem->code == Code::not_a_number || problem->code == Code::place_unreadable))
    problem->remedy = "The decimal mark of this file is the comma: write it so, or say decimal=point";
  return problem;
}

}  // namespace

std::string_view word(NorthReference north) noexcept {
  switch (north) {
    case NorthReference::circle:
      return "circle";
    case NorthReference::magnetic:
      return "magnetic";
    case NorthReference::true_north:
      return "true";
    case NorthReference::grid:
      return "grid";
    case NorthReference::unknown:
      return "unknown";
  }
  return "unknown";
}

bool from_needle(const Reading& reading) noexcept {
  return reading.north == NorthReference::circle || reading.north == NorthReference::magnetic || reading.applied ||
         reading.applied_grid_magnetic;
}

std::optional<Problem> read_circumstances(const Cells& row, const Rules& rules, ColumnSet defaults,
                                          Circumstances& into) {
  return in_its_own_mark(read_all_circumstances(CellReader(row, rules, defaults), into), rules);
}

std::optional<Problem> read_measured(const Cells& row, const Rules& rules, ColumnSet defaults, Reading& into) {
  into.measured() = {};
  return in_its_own_mark(read_all_measured(row, CellReader(row, rules, defaults), into), rules);
}

Result<Reading> read_row(const Cells& row, const Rules& rules) {
  Reading reading;
  const ColumnSet defaults = defaulted(rules);
  if (auto problem = read_circumstances(row, rules, defaults, reading)) return *std::move(problem);
  if (auto problem = read_measured(row, rules, defaults, reading)) return *std::move(problem);
  return reading;
}

std::optional<Problem> check_defaults(const Rules& rules) {
  const Cells empty;
  const CellReader cells(empty, rules);
  const auto problem_of = [](const auto& result) -> MaybeProblem {
    if (result) return std::nullopt;
    return result.problem();
  };
  const auto has = [&](Column column) { return static_cast<bool>(cells.get(column)); };
  if (auto p = problem_of(parse_north(cells.get(Column::north_reference).text))) return p;
  if (has(Column::plane_convention))
    if (auto p = problem_of(parse_convention(cells.get(Column::plane_convention).text))) return p;
  if (auto p = problem_of(parse_azimuth_unit(cells.get(Column::azimuth_unit).text))) return p;
  if (auto p = problem_of(parse_vertical_unit(cells.get(Column::vertical_unit).text))) return p;
  if (has(Column::place))
    if (auto p = problem_of(geodesy::parse_place(cells.get(Column::place).text, rules.letters))) return p;
  if (has(Column::lat) && has(Column::lon))
    if (auto p =
            problem_of(geodesy::parse_lat_lon(cells.get(Column::lat).text, cells.get(Column::lon).text, rules.letters)))
      return p;
  if (has(Column::height_m))
    if (auto p = problem_of(geodesy::parse_height(cells.get(Column::height_m).text))) return p;
  for (Column column : {Column::date, Column::target_date})
    if (auto p = problem_of(cells.date(column))) return p;
  // A default of `unknown` is a fair statement: it refuses the rows that lean on it, not the batch.
  for (Column column : {Column::set_declination, Column::applied_declination})
    if (auto p = problem_of(cells.written_declination(column, 2000)); p && p->code != Code::set_declination_unknown)
      return p;
  for (Column column : {Column::applied_grid_magnetic, Column::site_declination})
    if (auto p = problem_of(cells.declination(column)); p && p->code != Code::set_declination_unknown) return p;
  if (has(Column::azimuth_index_error))
    if (auto p = problem_of(instrument::parse_index_curve(cells.get(Column::azimuth_index_error).text))) return p;
  for (Column column : {Column::graduation, Column::reading_sigma, Column::dip_sigma, Column::site_declination_sigma})
    if (auto p = problem_of(cells.number(column, 0, 180))) return p;
  for (Column column : {Column::vertical_index_error, Column::dip_index_error})
    if (auto p = problem_of(cells.number(column, -45, 45))) return p;
  return problem_of(cells.yes(Column::backsight));
}

}  // namespace agonic::reading
