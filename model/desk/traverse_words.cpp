#include <algorithm>
#include <cmath>

#include "model/desk/traverse_sheet.hpp"
#include "model/survey/thresholds.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::desk {
namespace {

using survey::LegState;
using survey::StationState;

std::string line_name(const survey::Leg& leg) { return leg.from + "-" + leg.to; }

// The first of them by name, the others by number.
std::string joined(const std::vector<std::string>& words) {
  constexpr std::size_t kNamed = 12;
  std::string out;
  for (std::size_t i = 0; i < words.size() && i < kNamed; ++i) out += (out.empty() ? "" : ", ") + printable(words[i]);
  return words.size() > kNamed ? out + " and " + std::to_string(words.size() - kNamed) + " more" : out;
}

std::vector<std::string> lines_in(const TraverseSheet& sheet, LegState state) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < sheet.legs.size(); ++i)
    if (sheet.found.legs[i].state == state) out.push_back(line_name(sheet.legs[i]));
  return out;
}

std::vector<std::string> stations_in(const TraverseSheet& sheet, StationState state) {
  std::vector<std::string> out;
  for (const auto& station : sheet.found.stations)
    if (station.state == state) out.push_back(station.name);
  return out;
}

// The largest difference between propagation along the lines and against them, and where.
std::pair<double, std::vector<std::string>> disagreement(const TraverseSheet& sheet) {
  double most = 0;
  std::vector<std::string> names;
  for (const auto& s : sheet.found.stations)
    if (s.forward_deg && s.backward_deg && std::abs(*s.forward_deg - *s.backward_deg) > 1e-6) {
      most = std::max(most, std::abs(*s.forward_deg - *s.backward_deg));
      names.push_back(s.name);
    }
  return {most, names};
}

// Without a sign.
std::string magnitude_words(double degrees, const reading::AzimuthStyle& style) {
  const std::string text = turn_words(std::abs(degrees), style);
  return text.starts_with('+') ? text.substr(1) : text;
}

void note_stations(const TraverseSheet& sheet, std::vector<Note>& notes) {
  const auto turn = [&](double degrees) { return turn_words(degrees, sheet.style); };
  const auto magnitude = [&](double degrees) { return magnitude_words(degrees, sheet.style); };
  if (const auto constant = sheet.found.constant_difference_deg) {
    notes.push_back({"bent-needle", "All lines differ between fore and back by about the same, " + turn(*constant) +
                                        ". Places cannot do that round a figure: the needle is bent, or one of its "
                                        "ends was read fore and the other back. The mean of fore and back was taken; "
                                        "no station was corrected."});
  } else if (!sheet.found.any_free()) {
    notes.push_back({"no-free-station",
                     "No line agrees between fore and back: no station is known to be free of local attraction, and "
                     "nothing was corrected. Name one with free_stations if you know it, or observe the sun or a "
                     "known line at one station."});
  }
  if (const auto [most, names] = disagreement(sheet); !names.empty())
    notes.push_back({"attraction-disagrees", "Carried along the lines and against them, the corrections of " +
                                                 joined(names) + " differ, by up to " + magnitude(most) +
                                                 ": see the columns along and against. The correction used is the "
                                                 "least-squares value; what it leaves on each line is in left over."});
  for (const auto& conflict : sheet.found.conflicts)
    notes.push_back({"groups-disagree", "The lines among " + joined(conflict.stations) +
                                            " agree by themselves, but the lines that lead there say that readings "
                                            "are off by " +
                                            turn(conflict.apart_deg) +
                                            ". One attraction on all of them, or a misread line between? If they are "
                                            "the free ones, say so with free_stations."});
  std::vector<std::string> attracted;
  for (const auto& s : sheet.found.stations)
    if (s.correction_deg && std::abs(*s.correction_deg) > sheet.found.tolerance_deg + 1e-9) attracted.push_back(s.name);
  if (!attracted.empty()) notes.push_back({"local-attraction", "Local attraction at " + joined(attracted) + "."});
}

void note_lines(const TraverseSheet& sheet, std::vector<Note>& notes) {
  if (const auto lines = lines_in(sheet, LegState::reversed); !lines.empty())
    notes.push_back(
        {"backsight-reversed", "Fore and back are within 5 degrees of each other on " + joined(lines) +
                                   ": was the back azimuth reversed already? It was not used. If all of them were, say "
                                   "backs=reversed; if one was, write it as it stood on the circle."});
  if (const auto lines = lines_in(sheet, LegState::misread); !lines.empty())
    notes.push_back({"line-misread", "Both ends of " + joined(lines) +
                                         " are free by other lines, and fore and back still differ: a misreading?"});
  if (const auto lines = lines_in(sheet, LegState::one_sided); !lines.empty())
    notes.push_back({"unchecked", "Read from one end only, so that nothing checks them: " + joined(lines) + "."});
}

void note_figure(const TraverseSheet& sheet, std::vector<Note>& notes) {
  if (!sheet.figure) return;
  const auto& f = *sheet.figure;
  const auto turn = [&](double degrees) { return turn_words(degrees, sheet.style); };
  if (f.angles.empty()) {
    notes.push_back({"figure-without-angles",
                     "The lines close a figure, but some have no usable back azimuth: its angles are not known."});
    return;
  }
  if (f.adjusted && std::abs(f.difference_sum_deg) > 1e-6 && !sheet.found.constant_difference_deg)
    notes.push_back({"differences-do-not-close",
                     "Round the figure the differences of fore and back add up to " + turn(f.difference_sum_deg) +
                         "; local attraction alone would give 0. So much is error of reading: station corrections "
                         "leave it on the lines."});
  if (!f.adjusted)
    notes.push_back({"angles-do-not-close",
                     "The interior angles are off by " + turn(f.misclosure_deg) + ", more than " +
                         magnitude_words(f.limit_deg, sheet.style) +
                         ": nothing was adjusted. Look for a misread line, or a figure that crosses itself."});
  else if (!f.held_leg)
    notes.push_back({"figure-not-oriented",
                     "The angles are adjusted, but no line is free of local attraction at an "
                     "end, so that their azimuths are not known."});
}

void note_verticals(const TraverseSheet& sheet, std::vector<Note>& notes) {
  double sum = 0, squares = 0;
  std::size_t n = 0;
  std::vector<std::string> wide;
  for (std::size_t i = 0; i < sheet.legs.size(); ++i) {
    const auto& index = sheet.vertical_index_deg[i];
    if (!index) continue;
    if (2 * std::abs(*index) > survey::threshold::kVerticalDeg) wide.push_back(line_name(sheet.legs[i]));
    sum += *index;
    squares += *index * *index;
    ++n;
  }
  if (n == 0) return;
  const double count = static_cast<double>(n), mean = sum / count;
  std::string text = "Fore and back vertical angles show an index error of " + turn_words(mean, sheet.style) +
                     " (reading minus truth, " + std::to_string(n) + (n == 1 ? " line" : " lines");
  if (n > 1)
    text +=
        ", one scatters by " + format_fixed(std::sqrt(std::max(0.0, squares - count * mean * mean) / (count - 1)), 2);
  notes.push_back({"vertical-index", text + "); their half differences, used here, are free of it."});
  if (!wide.empty())
    notes.push_back({"vertical-differ", "They differ by more than " + format_fixed(survey::threshold::kVerticalDeg, 0) +
                                            " degrees on " + joined(wide) + ": misread?"});
}

void note_coordinates(const TraverseSheet& sheet, std::vector<Note>& notes) {
  const bool any = std::any_of(sheet.legs.begin(), sheet.legs.end(), [](const auto& l) { return l.length_m; });
  if (!any) return;
  const std::size_t used = sheet.coordinates ? sheet.coordinates->lines : 0;
  if (used < sheet.legs.size())
    notes.push_back({"lines-without-coordinates", std::to_string(sheet.legs.size() - used) +
                                                      " of the lines have no length, no azimuth or no tie to the "
                                                      "first station, and are not in the coordinates."});
  if (sheet.coordinates && sheet.coordinates->redundancy > 0 && !sheet.coordinates->unit_sigma)
    notes.push_back({"network-entangled",
                     "So many lines cross-connect that least squares was left out: give the "
                     "network in parts."});
  if (!sheet.coordinates || !sheet.coordinates->closed) return;
  const auto& c = *sheet.coordinates;
  if (c.misclosure_m * survey::threshold::kClosure > c.length_m)
    notes.push_back(
        {"lengths-do-not-close", "The figure closes worse than 1 in " + format_fixed(survey::threshold::kClosure, 0) +
                                     ": look for a misread length or azimuth before any coordinate is used."});
}

Added added_of(const TraverseSheet& sheet, std::optional<std::size_t> leg, const std::optional<Problem>& refused) {
  Added out;
  std::vector<std::string> checks;
  if (refused) checks.emplace_back(word(refused->code));
  if (refused && refused->field == "vertical_back" && refused->code == Code::contradiction)
    checks.emplace_back("vertical-angles-same-way");
  const auto put = [&](std::string_view name, const std::optional<double>& value) {
    out.emplace_back(name, value_of(value));
  };
  const survey::LegFinding none;
  const survey::LegFinding& f = leg ? sheet.found.legs[*leg] : none;
  const auto correction = [&](bool from) -> std::optional<double> {
    if (!leg) return std::nullopt;
    return sheet.found.find(from ? sheet.legs[*leg].from : sheet.legs[*leg].to)->correction_deg;
  };
  put("difference", f.difference_deg);
  put("correction_from", correction(true));
  put("correction_to", correction(false));
  put("left_over", f.leftover_deg);
  put("azimuth_by_stations", f.azimuth_deg);
  const bool angles = leg && sheet.figure && !sheet.figure->azimuths_deg.empty();
  put("azimuth_by_angles", angles ? std::optional(sheet.figure->azimuths_deg[*leg]) : std::nullopt);
  const bool vertical = leg && (sheet.table.has("vertical_angle") || sheet.table.has("vertical_back"));
  put("vertical_corrected", vertical ? std::optional(sheet.legs[*leg].vertical_deg) : std::nullopt);
  put("vertical_index_error", leg ? sheet.vertical_index_deg[*leg] : std::nullopt);
  put("azimuth_true", leg ? sheet.true_deg(*leg) : std::nullopt);
  put("azimuth_grid", leg ? sheet.grid_deg(*leg) : std::nullopt);
  put("azimuth_sigma", leg ? sheet.sigma_deg(*leg) : std::nullopt);
  if (leg) {
    if (f.difference_deg && std::abs(*f.difference_deg) > survey::threshold::kForeBackDeg &&
        f.state != LegState::reversed)
      checks.emplace_back("fore-back-differ");
    const auto index = sheet.vertical_index_deg[*leg];
    if (index && 2 * std::abs(*index) > survey::threshold::kVerticalDeg) checks.emplace_back("vertical-differ");
    if (f.state == LegState::reversed) checks.emplace_back("backsight-reversed");
    if (f.state == LegState::misread) checks.emplace_back("line-misread");
    if (f.azimuth_deg && !f.checked) checks.emplace_back("unchecked");
  }
  const bool done = leg && sheet.azimuths_deg[*leg];
  out.emplace_back("status", std::string(refused ? "refused" : done ? "corrected" : "undecided"));
  out.emplace_back("checks", std::move(checks));
  out.emplace_back("remark", refused ? refused->text()
                             : done  ? std::string()
                                     : std::string("no station at its ends is known to be free of local attraction"));
  return out;
}

std::string places_text(const TraverseSheet& sheet) {
  const auto& a = *sheet.where;
  return "True azimuths: with the declination " + declination_words(a) + ", less " + declination_text(sheet.set_deg) +
         " set on the circle" +
         (sheet.index_deg == 0 ? "" : " and an index error of " + turn_words(sheet.index_deg, {})) + ".\n" +
         "Grid azimuths: " + a.grid + ", convergence " + declination_text(a.convergence->deg) + ".\n" +
         "1-sigma of a line: " + format_fixed(std::hypot(a.field.sigma_deg, sheet.precision.azimuth_sigma_deg), 2) +
         "; the declination's part of it is common to all.\n";
}

}  // namespace

std::vector<Note> traverse_notes(const TraverseSheet& sheet) {
  std::vector<Note> notes;
  note_stations(sheet, notes);
  note_lines(sheet, notes);
  note_figure(sheet, notes);
  note_verticals(sheet, notes);
  note_coordinates(sheet, notes);
  if (sheet.where)
    for (std::size_t i = 0; i < sheet.where->warnings.size(); ++i)
      notes.push_back({sheet.where->warning_codes[i], sheet.where->warnings[i]});
  notes.push_back({"index-error-unseen",
                   "A constant error of the instrument cancels between fore and back: only a "
                   "line of known azimuth or the sun shows it."});
  return notes;
}

std::vector<Added> traverse_added(const TraverseSheet& sheet) {
  std::vector<std::optional<std::size_t>> leg_of(sheet.table.rows.size());
  for (std::size_t i = 0; i < sheet.row_of.size(); ++i) leg_of[sheet.row_of[i]] = i;
  std::vector<Added> out;
  for (std::size_t i = 0; i < leg_of.size(); ++i) out.push_back(added_of(sheet, leg_of[i], sheet.refused[i]));
  return out;
}

std::string traverse_text(const TraverseSheet& sheet, const std::vector<Note>& notes) {
  const auto azimuth = [&](const std::optional<double>& a) { return azimuth_words(a, sheet.style); };
  const auto turn = [&](const std::optional<double>& t) { return turn_words(t, sheet.style); };
  const auto metres = [](double value) { return format_fixed(value, 2); };
  const auto agreeing = lines_in(sheet, LegState::agrees);
  auto free = stations_in(sheet, StationState::free);
  const auto declared = stations_in(sheet, StationState::declared);
  std::string out = "Fore and back agree within " + format_trimmed(sheet.found.tolerance_deg, 3) + " degree" +
                    (sheet.found.tolerance_given ? "" : " (judged by how finely they were read)") + " on " +
                    (agreeing.empty() ? "no line" : joined(agreeing)) + ".\n";
  if (!free.empty()) out += "Free of local attraction: " + joined(free) + ".\n";
  if (!declared.empty()) out += "Declared free of local attraction: " + joined(declared) + ".\n";

  TextTable stations(1);
  stations.add({"station", "correction", "along", "against", ""});
  for (const auto& s : sheet.found.stations)
    stations.add({printable(s.name), turn(s.correction_deg), turn(s.forward_deg), turn(s.backward_deg),
                  s.state == StationState::attracted ? "" : std::string(word(s.state))});
  out += "\nCorrections, to be added to readings at the station\n" + stations.text();

  const bool angles = sheet.figure && !sheet.figure->azimuths_deg.empty();
  TextTable lines(1);
  std::vector<std::string> head{"line", "fore", "back", "difference", "corrected", "left over"};
  if (angles) head.emplace_back("by angles");
  if (sheet.where) head.emplace_back("true"), head.emplace_back("grid");
  lines.add(head);
  for (std::size_t i = 0; i < sheet.legs.size(); ++i) {
    const auto& leg = sheet.legs[i];
    const auto& f = sheet.found.legs[i];
    std::vector<std::string> cells{printable(line_name(leg)), azimuth(leg.fore_deg),  azimuth(leg.back_deg),
                                   turn(f.difference_deg),    azimuth(f.azimuth_deg), turn(f.leftover_deg)};
    if (angles) cells.push_back(azimuth(sheet.figure->azimuths_deg[i]));
    if (sheet.where) cells.push_back(azimuth(sheet.true_deg(i))), cells.push_back(azimuth(sheet.grid_deg(i)));
    lines.add(std::move(cells));
  }
  out += "\nLines\n" + lines.text();

  if (sheet.figure && !sheet.figure->angles.empty()) {
    const auto& f = *sheet.figure;
    reading::AzimuthStyle plain = sheet.style;
    plain.quadrant = false;
    TextTable table(1);
    table.add({"station", "angle", "adjusted"});
    for (const auto& angle : f.angles)
      table.add({printable(angle.station), azimuth_words(angle.read_deg, plain),
                 f.adjusted ? azimuth_words(angle.adjusted_deg, plain) : "-"});
    const double n = static_cast<double>(f.angles.size());
    out += "\nInterior angles: off by " + turn(f.misclosure_deg) + " from " + format_fixed(f.should_be_deg, 0) +
           (f.adjusted && std::abs(f.misclosure_deg) > 1e-9 ? "; each takes " + turn(-f.misclosure_deg / n) : "") +
           (f.held_leg ? "; " + printable(line_name(sheet.legs[*f.held_leg])) + " is held" : "") + "\n" + table.text();
  }
  if (sheet.where) out += "\n" + places_text(sheet);
  if (sheet.coordinates) {
    const auto& c = *sheet.coordinates;
    TextTable table(1);
    std::vector<std::string> titles{"station", "east m", "north m", "up m"};
    if (c.closed) titles.insert(titles.end(), {"rule east", "rule north"});
    if (c.unit_sigma) titles.insert(titles.end(), {"l.sq. east", "l.sq. north"});
    table.add(titles);
    for (const auto& s : c.stations) {
      std::vector<std::string> cells{printable(s.station), metres(s.measured.east_m), metres(s.measured.north_m),
                                     metres(s.measured.up_m)};
      if (s.compass_rule) cells.insert(cells.end(), {metres(s.compass_rule->east_m), metres(s.compass_rule->north_m)});
      if (s.least_squares)
        cells.insert(cells.end(), {metres(s.least_squares->east_m), metres(s.least_squares->north_m)});
      table.add(std::move(cells));
    }
    out += "\nCoordinates from " + printable(c.stations.front().station) + ", toward " + sheet.coordinates_north +
           ": as measured" + (c.closed ? ", by the compass rule" : "") + (c.unit_sigma ? ", by least squares" : "") +
           "\n" + table.text();
    if (c.closed)
      out += "It closes within " + metres(c.misclosure_m) + " m (east " + metres(c.misclosure.east_m) + ", north " +
             metres(c.misclosure.north_m) + ", up " + metres(c.misclosure.up_m) + ") in " + metres(c.length_m) + " m" +
             (c.misclosure_m > 0.005 ? ", 1 in " + format_fixed(c.length_m / c.misclosure_m, 0) : "") + ".\n";
    if (c.unit_sigma)
      out += "Least squares for azimuths known to " + format_trimmed(sheet.precision.azimuth_sigma_deg) +
             " degree and lengths to " + format_trimmed(sheet.precision.length_sigma_percent) +
             " % (1-sigma): unit sigma " + format_fixed(*c.unit_sigma, 2) + ", about 1 where that is true.\n";
  }
  return out + "\n" + refused_text(sheet.table, sheet.refused) + notes_text(notes);
}

namespace {

std::string point_json(const std::optional<survey::Point>& p) {
  if (!p) return "null";
  return "{\"east_m\":" + json_number(p->east_m) + ",\"north_m\":" + json_number(p->north_m) +
         ",\"up_m\":" + json_number(p->up_m) + "}";
}

std::string figure_json(const TraverseSheet& sheet) {
  if (!sheet.figure || sheet.figure->angles.empty()) return "null";
  const auto& f = *sheet.figure;
  std::string out =
      "{\"angle_sum_deg\":" + json_number(f.sum_deg) + ",\"angle_sum_should_be_deg\":" + json_number(f.should_be_deg) +
      ",\"angular_misclosure_deg\":" + json_number(f.misclosure_deg) +
      ",\"angular_limit_deg\":" + json_number(f.limit_deg) + ",\"adjusted\":" + (f.adjusted ? "true" : "false") +
      ",\"difference_sum_deg\":" + json_number(f.difference_sum_deg) +
      ",\"held_line\":" + (f.held_leg ? json_text(line_name(sheet.legs[*f.held_leg])) : "null") + ",\"angles\":[";
  for (std::size_t i = 0; i < f.angles.size(); ++i)
    out += (i == 0 ? "" : ",") + ("{\"station\":" + json_text(f.angles[i].station)) +
           ",\"read_deg\":" + json_number(f.angles[i].read_deg) +
           ",\"adjusted_deg\":" + (f.adjusted ? json_number(f.angles[i].adjusted_deg) : "null") + "}";
  return out + "]}";
}

std::string coordinates_json(const TraverseSheet& sheet) {
  if (!sheet.coordinates) return "null";
  const auto& c = *sheet.coordinates;
  std::string out = "{\"north\":" + json_text(sheet.coordinates_north) + ",\"lines\":" + std::to_string(c.lines) +
                    ",\"length_m\":" + json_number(c.length_m) +
                    ",\"misclosure\":" + (c.closed ? point_json(c.misclosure) : "null") +
                    ",\"misclosure_m\":" + (c.closed ? json_number(c.misclosure_m) : "null") +
                    ",\"redundancy\":" + std::to_string(c.redundancy) + ",\"unit_sigma\":" + json_number(c.unit_sigma) +
                    ",\"stations\":[";
  for (std::size_t i = 0; i < c.stations.size(); ++i) {
    const auto& s = c.stations[i];
    out += (i == 0 ? "" : ",") + ("{\"station\":" + json_text(s.station)) + ",\"measured\":" + point_json(s.measured) +
           ",\"compass_rule\":" + point_json(s.compass_rule) + ",\"least_squares\":" + point_json(s.least_squares) +
           "}";
  }
  return out + "]}";
}

}  // namespace

std::string traverse_json(const TraverseSheet& sheet, const std::vector<Note>& notes) {
  std::string out = "{\"legs\":" + rows_json(sheet.table, traverse_added(sheet)) + ",\"stations\":[";
  for (std::size_t i = 0; i < sheet.found.stations.size(); ++i) {
    const auto& s = sheet.found.stations[i];
    out += (i == 0 ? "" : ",") + ("{\"station\":" + json_text(s.name)) + ",\"state\":" + json_text(word(s.state)) +
           ",\"correction_deg\":" + json_number(s.correction_deg) +
           ",\"correction_along_deg\":" + json_number(s.forward_deg) +
           ",\"correction_against_deg\":" + json_number(s.backward_deg) + "}";
  }
  out += "],\"tolerance_deg\":" + json_number(sheet.found.tolerance_deg) +
         ",\"constant_difference_deg\":" + json_number(sheet.found.constant_difference_deg) +
         ",\"figure\":" + figure_json(sheet) + ",\"coordinates\":" + coordinates_json(sheet) +
         ",\"declination\":" + (sheet.where ? "{" + where_json(*sheet.where) + "}" : "null") +
         ",\"notes\":" + notes_json(notes) + "}";
  return out;
}

}  // namespace agonic::desk
