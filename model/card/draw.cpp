// Four quarters of A4, each A6 when the page is folded twice.
#include <algorithm>
#include <cmath>

#include "model/card/parts.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::card {
namespace {

using paper::Weight;

constexpr double kPageWidth = 210, kPageHeight = 297;
constexpr double kEdge = 8, kFold = 6;  // free of print at the edge of the page and beside a fold
constexpr double kColumn = kPageWidth / 2 - kEdge - kFold;
constexpr double kHeading = 8;            // mm that a heading takes, with the space before it
constexpr std::size_t kStopsAtLeast = 6;  // lines kept for the stops of a route

double d_of(const Sheet& sheet) { return sheet.answer.declination.field.elements.declination_deg; }

std::string minus(double angle) { return "minus (" + std::string(angle < 0 ? "" : "+") + format_fixed(angle, 2) + ")"; }
std::string plus(double angle) { return "plus (" + std::string(angle < 0 ? "" : "+") + format_fixed(angle, 2) + ")"; }

std::string degrees_words(double value, int decimals = 2) { return format_fixed(value, decimals) + "\u00B0"; }

// "0.16° a year toward east: the needle moves clockwise."
std::string change_words(double per_year) {
  const std::string size = degrees_words(std::abs(per_year));
  if (std::abs(per_year) < 0.005) return "Yearly change: less than 0.01\u00B0.";
  return "Yearly change: " + size + (per_year > 0 ? " toward east (clockwise)." : " toward west (counterclockwise).");
}

std::string number_of(double km) { return km < 10 ? format_trimmed(km, 1) : format_fixed(km, 0); }

// Front: where, when, the declination, the arrows.
void place_quarter(paper::Drawing& out, Column& c, const Sheet& sheet) {
  const auto& answer = sheet.answer.declination;
  const auto& place = answer.query.place;
  const double d = d_of(sheet);
  if (sheet.route) {
    c.heading("Compass card: route");
    c.text(sheet.route->title, kBody, Weight::bold);
    c.text("Its first stop: " + format_fixed(place.lat_deg, 5) + " " + format_fixed(place.lon_deg, 5) + " (WGS84)");
  } else {
    c.heading(sheet.name.empty() ? "Compass card" : "Compass card: " + sheet.name);
    c.text("Lat, lon " + format_fixed(place.lat_deg, 5) + " " + format_fixed(place.lon_deg, 5) + " (datum WGS84)");
  }
  if (!sheet.grid_reference.empty())
    c.text(sheet.grid_reference + "; height " + format_fixed(answer.query.height_m, 0) + " m");
  if (!sheet.route) {
    c.text("For " + answer.query.date.iso.substr(0, 10) +
               (sheet.answer.until ? " to " + sheet.answer.until->iso.substr(0, 10) : ""),
           kBody, Weight::bold);
    if (!sheet.radius_km)
      c.text("Within 1000 km D differs by less than 0.5\u00B0.");
    else if (*sheet.radius_km > 0)
      c.text("Within " + number_of(*sheet.radius_km) + " km D differs by less than 0.5\u00B0.");
    else
      c.text("D differs by 0.5\u00B0 within 100 m: for this spot alone.", kBody, Weight::bold);
  }
  c.space(1.5);
  if (sheet.route && sheet.route->high_deg - sheet.route->low_deg >= 0.005)
    c.text("Declination " + both_ways(sheet.route->low_deg) + " to " + both_ways(wrap_180(sheet.route->high_deg)), 5.2,
           Weight::bold);
  else
    c.text(both_ways(d), 7.4, Weight::bold);
  const double sigma = sheet.route ? sheet.route->sigma_deg : answer.field.sigma_deg;
  const double wide = sheet.route ? sheet.route->half_width_95_deg : answer.field.half_width_95_deg;
  c.text("\u00B1 " + degrees_words(sigma) + " (1-sigma); 95 % within " + degrees_words(wide) +
         "; daily swing and storms come on top.");
  c.text(change_words(answer.field.elements.declination_deg_per_year));
  if (answer.convergence) {
    c.text("Convergence, " + answer.grid + ": " + both_ways(answer.convergence->deg));
    c.text("G-M angle: " + both_ways(wrap_180(d - answer.convergence->deg)), kBody, Weight::bold);
  }
  if (sheet.route) c.text("(change, grid and arrows: at the first stop, D " + side_words(d) + ")");
  c.space(1);
  draw_norths(out, c.x(), c.y(), c.width(), d,
              answer.convergence ? std::optional(answer.convergence->deg) : std::nullopt);
  c.space(kDiagramHeight);
}

void check_words(Column& c, const Sheet& sheet, const instrument::Setting& s) {
  const auto& circle = sheet.answer.circle;
  const int decimals = instrument::decimals_of(circle.graduation_deg);
  if (!circle.turnable) {
    c.text(
        "This circle cannot be set: add " + both_ways(sheet.route ? s.set_to_deg : d_of(sheet)) + " to every reading.",
        kBody, Weight::bold);
    return;
  }
  if (s.set_to_deg == 0) {
    c.text("Leave the circle at 0.", 5, Weight::bold);
    return;
  }
  c.text("Set the circle to " + both_ways(s.set_to_deg, decimals), 5, Weight::bold);
  c.text("Turn it " + std::string(instrument::word(s.turn)) + ". Check: sighting along the needle it must read " +
         instrument::reads_text(s.reads_along_needle_deg, circle) + ".");
  c.text("If it reads " + instrument::reads_text(s.reads_if_backwards_deg, circle) + ", it is set backwards.", kBody,
         Weight::bold);
}

std::string sum_words(double leftover, const std::string& what = "every reading") {
  return (leftover < 0 ? "subtract " : "add ") + degrees_words(std::abs(leftover)) +
         (leftover < 0 ? " from " : " to ") + what;
}

void leftover_words(Column& c, const Sheet& sheet) {
  const auto& s = sheet.answer.setting;
  if (!sheet.answer.circle.turnable) return;
  if (std::abs(s.largest_leftover_deg) >= 0.005) {
    if (sheet.answer.until)
      c.text("Left over: " + sum_words(s.leftover_deg) + " on the first day, " +
             sum_words(s.leftover_at_end_deg, "it") + " on the last; at most " +
             degrees_words(std::abs(s.largest_leftover_deg)) + ".");
    else
      c.text("Left over: " + sum_words(s.leftover_deg) + " in the notebook, once.");
  }
  if (s.holds_until)
    c.text("It stays within half a graduation until " + *s.holds_until +
           (s.holds_to_the_end ? ", where the models end." : "."));
  else
    c.text("It is off by more than half a graduation on the first day.");
}

void setting_quarter(Column& c, const Sheet& sheet) {
  const auto& answer = sheet.answer.declination;
  const double d = d_of(sheet);
  if (sheet.route) {
    c.heading("One setting for all");
    check_words(c, sheet, sheet.route->one);
    c.text("Most left over: " + sum_words(sheet.route->one_leftover_deg, "a reading") + ", at " + sheet.route->one_at +
           ".");
  } else {
    c.heading("Set the circle");
    check_words(c, sheet, sheet.answer.setting);
    leftover_words(c, sheet);
  }
  c.space(1.5);
  c.heading(sheet.route ? "Or circle not set (at 0), first stop" : "Or circle not set (at 0)");
  const std::string from = answer.convergence ? "grid" : "true";
  const double gm = answer.convergence ? wrap_180(d - answer.convergence->deg) : d;
  c.text("Map to compass: " + from + " 060 " + minus(gm) + " = " + azimuth_words(60 - gm, 2) + " by the needle.");
  c.text("Compass to map: needle 060 " + plus(gm) + " = " + azimuth_words(60 + gm, 2) + " " + from +
         (answer.convergence ? "; " + plus(d) + " = " + azimuth_words(60 + d, 2) + " true." : "."));
  c.text("Never do both, setting and sum.", kBody, Weight::bold);
  c.space(1.5);
  c.heading("Magnetic-north lines on the map");
  const auto turned = [](double angle) {
    return degrees_words(std::abs(angle)) + (std::abs(angle) < 0.005 ? " from"
                                             : angle < 0             ? " left (west) of"
                                                                     : " right (east) of");
  };
  c.text("Draw them " +
         (answer.convergence ? turned(gm) + " the grid's north lines, or " + turned(d) + " the meridians."
                             : turned(d) + " the meridians.") +
         " Laid along them, a needle needs no sum.");
  c.space(1.5);
  c.heading("What is never corrected");
  c.text("Dip, plunge, rake and vertical angles: do not correct them for declination.");
}

void table_quarter(Column& c, const Sheet& sheet) {
  const auto& answer = sheet.answer.declination;
  const double d = d_of(sheet);
  c.heading("Ready table, circle not set");
  c.row({"true", "magnetic", answer.convergence ? "grid" : "true"}, Weight::bold);
  c.rule();
  c.space(0.6);
  for (int t = 0; t < 360; t += 30)
    c.row({azimuth_words(t, 1), azimuth_words(t - d, 1),
           azimuth_words(answer.convergence ? t - answer.convergence->deg : t, 1)});
}

void route_quarter(Column& c, const Sheet& sheet) {
  const RoutePart& route = *sheet.route;
  const auto& circle = sheet.answer.circle;
  const int decimals = instrument::decimals_of(circle.graduation_deg);
  c.heading((circle.turnable ? "Set anew, to stay within " : "What to add, within ") +
            format_trimmed(route.tolerance_deg) + "\u00B0");
  if (route.settings.empty()) c.text("Nowhere: the needle is unusable.");
  std::size_t listed = 0;
  for (; listed < route.settings.size(); ++listed) {
    const auto& one = route.settings[listed];
    const std::string line =
        side_words(one.set_to_deg, decimals) +
        (circle.turnable ? " (needle " + instrument::reads_text(one.reads_along_needle_deg, circle) + ")" : "") +
        " from " + one.from;
    if (!c.fits(line, kHeading + kLine * (kStopsAtLeast + 1))) break;
    c.text(line);
  }
  if (listed < route.settings.size())
    c.text("and " + std::to_string(route.settings.size() - listed) + " more: see the table of the route.");
  c.space(1.5);
  c.heading("Declination at the stops");
  // Of many stops those that lie evenly, the last among them.
  const std::size_t n = route.stops.size();
  std::size_t kept = 2;  // lines for the notes below, so that the list does not crowd out a caution
  for (const std::string& note : route.notes) kept += paper::wrap(note, kBody, c.width() * 0.98).size();
  const std::size_t left = c.lines_left();
  const std::size_t room = left > kStopsAtLeast + kept ? left - kept : std::min(left, kStopsAtLeast + 1);
  const std::size_t shown = n <= room ? n : std::max<std::size_t>(room, 2) - 1;
  for (std::size_t k = 0; k < shown; ++k) {
    const auto& stop = route.stops[shown == 1 ? 0 : k * (n - 1) / (shown - 1)];
    c.text(c.one_line(side_words(stop.declination_deg) + (stop.needle == "usable" ? "" : " (" + stop.needle + ")") +
                      " " + stop.name + ", " + stop.date));
  }
  if (n > shown) c.text("(" + std::to_string(shown) + " of " + std::to_string(n) + " stops)");
}

void needle_words(Column& c, const Sheet& sheet) {
  const auto& field = sheet.answer.declination.field;
  c.space(1.5);
  c.heading("The needle");
  const std::string needle(field::word(field.needle));
  c.text((sheet.route ? "At the first stop H " : "H ") + format_fixed(field.elements.horizontal_nt, 0) +
             " nT: " + needle +
             (field.needle == field::Needle::usable    ? "."
              : field.needle == field::Needle::caution ? ": slow and easily led astray; let it settle, read twice."
                                                       : ": it does not show a direction here."),
         kBody, field.needle == field::Needle::usable ? Weight::normal : Weight::bold);
  c.text("Inclination " + degrees_words(std::abs(field.elements.inclination_deg), 1) +
         (field.elements.inclination_deg < 0 ? " up" : " down") +
         ": take a needle balanced for it. A degree off level turns the azimuth by up to " +
         degrees_words(field.tilt_error_deg_per_deg, field.tilt_error_deg_per_deg < 10 ? 2 : 0) + ".");
}

// What the card says elsewhere is not said twice.
bool said_elsewhere(const std::string& code) {
  return code == "needle-unusable" || code == "needle-caution" || code == "tilt-critical";
}

// Each note goes where it fits whole.
void notes_words(std::initializer_list<Column*> quarters, const Sheet& sheet) {
  std::vector<std::string> notes;
  const auto& answer = sheet.answer.declination;
  if (sheet.route)
    notes = sheet.route->notes;
  else
    for (std::size_t i = 0; i < answer.warnings.size(); ++i)
      if (!said_elsewhere(answer.warning_codes[i])) notes.push_back(answer.warnings[i]);
  std::size_t next = 0;
  for (Column* c : quarters) {
    bool begun = false;
    while (next < notes.size() && c->fits(notes[next], begun ? 0 : kHeading)) {
      if (!begun) {
        c->space(1.5);
        c->heading("Note");
        begun = true;
      }
      c->text(notes[next++]);
    }
  }
  if (next == notes.size()) return;
  // Never passed over in silence.
  Column* last = *(quarters.end() - 1);
  last->text("Further notes: " + std::to_string(notes.size() - next) + ", told by the look-up.", kBody, Weight::bold);
}

void caution_quarter(Column& c, const Sheet& sheet) {
  c.heading("Local attraction");
  c.text(
      "Iron, vehicles, power lines and some rocks turn the needle. Sight back: fore and back differ by 180\u00B0 "
      "within "
      "2\u00B0, or move and sight again. Check on a line of known azimuth or the sun.");
  c.text(
      "Not for navigation where life depends on it without an independent check. Boundaries: local rules and licensed "
      "surveyors come first.",
      kBody, Weight::bold);
  c.space(1.5);
  c.heading("Instrument and check");
  if (sheet.instrument) {
    c.text("Instrument " + sheet.instrument->id, kBody, Weight::bold);
    for (const std::string& line : sheet.instrument->lines) c.text(line);
    c.space(1);
  } else {
    c.blank("Instrument");
    c.blank("Index error: azimuth");
    c.blank("vertical");
    c.text("(reading minus truth: take it off a reading)");
    c.space(1);
  }
  c.blank("D set");
  c.blank("by whom, when");
  c.blank("checked on line");
  c.blank("it read");
  c.space(1);
  const auto& model = *sheet.answer.declination.field.model;
  c.heading("Where it comes from");
  c.text("Model " + model.id + ", for " + format_fixed(model.valid_from, 1) + " to " + format_fixed(model.valid_to, 1) +
         "; agonic " AGONIC_VERSION "; computed on " + sheet.computed_on + ".");
  c.text("A model does not know local rock.");
}

void fold_marks(paper::Drawing& out) {
  paper::Path marks;
  marks.stroke = paper::Stroke{paper::kBlack, 0.2, {1.2, 1.2}};
  marks.title = "fold here, twice";
  const double x = kPageWidth / 2, y = kPageHeight / 2;
  for (const auto& [a, b] : {std::pair<paper::Point, paper::Point>{{x, 0}, {x, 6}},
                             {{x, kPageHeight - 6}, {x, kPageHeight}},
                             {{0, y}, {6, y}},
                             {{kPageWidth - 6, y}, {kPageWidth, y}},
                             {{x - 3, y}, {x + 3, y}},
                             {{x, y - 3}, {x, y + 3}}})
    marks.polyline(std::vector<paper::Point>{a, b});
  out.add(std::move(marks));
}

}  // namespace

paper::Drawing draw(const Sheet& sheet) {
  paper::Drawing out;
  out.width = kPageWidth;
  out.height = kPageHeight;
  const auto& place = sheet.answer.declination.query.place;
  out.title = sheet.route ? "Compass card: " + sheet.route->title
                          : "Compass card: " + (sheet.name.empty() ? "" : sheet.name + ", ") +
                                format_fixed(place.lat_deg, 5) + " " + format_fixed(place.lon_deg, 5) + ", " +
                                sheet.answer.declination.query.date.iso.substr(0, 10);
  out.description =
      "Declination " + declination_text(d_of(sheet)) + "; what to set, a table, cautions, blanks to fill in.";
  fold_marks(out);
  const double right = kPageWidth / 2 + kFold, low = kPageHeight / 2 + kFold;
  const double fold = kPageHeight / 2 - 3, end = kPageHeight - 6;
  Column first(out, kEdge, kEdge, kColumn, fold), second(out, right, kEdge, kColumn, fold);
  Column third(out, kEdge, low, kColumn, end), fourth(out, right, low, kColumn, end);
  place_quarter(out, first, sheet);
  setting_quarter(second, sheet);
  if (sheet.route)
    route_quarter(third, sheet);
  else
    table_quarter(third, sheet);
  needle_words(sheet.route ? second : third, sheet);
  caution_quarter(fourth, sheet);
  notes_words({&third, &second, &fourth}, sheet);
  return out;
}

}  // namespace agonic::card
