// The route for people.
#include <algorithm>
#include <cmath>

#include "model/route/parts.hpp"
#include "model/units/angle.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::route {
namespace {

constexpr std::size_t kStopsShown = 200;  // of a track no more; the other formats hold all

std::string two(double value) { return format_fixed(value, 2); }

// "add 0.31", "subtract 0.31".
std::string sum_words(double leftover) { return (leftover < 0 ? "subtract " : "add ") + two(std::abs(leftover)); }

// What to do with the circle: "Set the circle to 14 W (-14)" or what to add where it cannot be turned.
std::string set_words(const Sheet& sheet, double set_to) {
  return declination_text(set_to, instrument::decimals_of(sheet.rules.circle.graduation_deg));
}

std::string head(const Sheet& sheet) {
  const auto plural = [](std::size_t n) { return std::to_string(n) + (n == 1 ? " stop" : " stops"); };
  std::string out = plural(sheet.table.rows.size());
  if (const std::size_t bad = sheet.table.rows.size() - sheet.stops.size(); bad > 0)
    out += ", " + std::to_string(bad) + " refused";
  if (sheet.samples.back().km > 0) out += "; " + format_fixed(sheet.samples.back().km, 1) + " km";
  const auto [first, last] =
      std::minmax_element(sheet.stops.begin(), sheet.stops.end(),
                          [](const Stop& a, const Stop& b) { return a.date.decimal_year < b.date.decimal_year; });
  out += "; " + first->date.iso + (first->date.iso == last->date.iso ? "" : " to " + last->date.iso) + "\n";
  out += "Declination " + declination_text(sheet.low_deg);
  if (sheet.high_deg - sheet.low_deg >= 0.005)
    out += " to " + declination_text(wrap_180(sheet.high_deg)) + ", " + two(sheet.high_deg - sheet.low_deg) + " apart";
  return out + "; +/- " + two(sheet.sigma_deg) + " (1-sigma), 95 % within " + two(sheet.half_width_95_deg) +
         ", at most; " + sheet.models() + "\n";
}

std::string one_words(const Sheet& sheet) {
  if (!sheet.one) return "\nNo setting: the needle is unusable all the way.\n";
  const auto& circle = sheet.rules.circle;
  const auto& s = sheet.one->setting;
  std::string out = "\nOne setting for all: " + set_words(sheet, s.set_to_deg);
  if (!circle.turnable)
    out = "\nOne sum for all: " + sum_words(s.set_to_deg) + " (" + set_words(sheet, s.set_to_deg) + ")";
  else if (s.set_to_deg != 0)
    out += ", turned " + std::string(instrument::word(s.turn)) + ". Along the needle the circle reads " +
           instrument::reads_text(s.reads_along_needle_deg, circle) + "; if it reads " +
           instrument::reads_text(s.reads_if_backwards_deg, circle) + ", it is set backwards";
  out += ".\n";
  const double left = sheet.one->largest_leftover_deg;
  if (std::abs(left) < 0.005) return out + "  Nothing is left over.\n";
  return out + "  The most that is left over: " + sum_words(left) + ", at " + sheet.place_words(sheet.one_at) + ".\n";
}

std::string settings_words(const Sheet& sheet) {
  if (sheet.settings.empty()) return {};
  const auto& circle = sheet.rules.circle;
  const std::size_t n = sheet.settings.size();
  std::string out = "\nWithin " + format_trimmed(sheet.rules.tolerance_deg) +
                    (sheet.rules.tolerance_given ? "" : " (half a graduation)") + " " +
                    (sheet.rules.legs ? "all along the way: " : "at every stop: ") + std::to_string(n) +
                    (n == 1 ? " setting.\n" : " settings; with fewer it cannot be done.\n");
  desk::TextTable table(2, 1);
  table.add({"", "from", circle.turnable ? "set to" : "add", circle.turnable ? "turn" : "", "along the needle",
             "at most left"});
  for (std::size_t i = 0; i < n; ++i) {
    const Leg& leg = sheet.settings[i];
    const auto& s = leg.stretch.setting;
    table.add({std::to_string(i + 1), sheet.place_words(leg.first), set_words(sheet, s.set_to_deg),
               circle.turnable ? std::string(instrument::word(s.turn)) : "",
               circle.turnable ? instrument::reads_text(s.reads_along_needle_deg, circle) : "",
               sum_words(leg.stretch.largest_leftover_deg)});
  }
  return out + table.text();
}

std::string zone_words(const Sheet& sheet) {
  std::string out;
  for (const Zone& zone : sheet.zones)
    out += "  " + std::string(field::word(zone.needle)) + ": " +
           (zone.first == zone.last ? sheet.place_words(zone.first)
                                    : "from " + sheet.place_words(zone.first) + " to " + sheet.place_words(zone.last)) +
           "\n";
  return out.empty() ? out : "\nThe needle is weak\n" + out;
}

std::string stops_table(const Sheet& sheet) {
  desk::TextTable table(2);
  table.add({"stop", "date", "km", "declination", "+/-", "from start", "inclination", "needle",
             sheet.rules.circle.turnable ? "set to" : "add", "left over"});
  const double start = sheet.samples.front().field.elements.declination_deg;
  std::optional<std::size_t> before;
  const int decimals = instrument::decimals_of(sheet.rules.circle.graduation_deg);
  const std::size_t shown = std::min(sheet.stops.size(), kStopsShown);
  for (std::size_t i = 0; i < shown; ++i) {
    const Stop& stop = sheet.stops[i];
    const Sample& at = sheet.samples[sheet.sample_of_stop[i]];
    const double d = at.field.elements.declination_deg;
    const auto mine = sheet.setting_of_stop[i];
    std::string set = "-", left = "-";
    if (mine) {
      const double to = sheet.settings[*mine].stretch.setting.set_to_deg;
      set = (before == mine ? "" : "* ") + declination_side_text(to, decimals);
      left = two(wrap_180(d - to));
      before = mine;
    }
    table.add({stop.label, stop.date.iso, format_fixed(at.km, 1), declination_text(d), two(at.field.sigma_deg),
               two(wrap_180(d - start)), format_fixed(at.field.elements.inclination_deg, 1),
               std::string(field::word(at.field.needle)), set, left});
  }
  std::string out = "\n" + table.text();
  if (shown < sheet.stops.size())
    out += "and " + std::to_string(sheet.stops.size() - shown) + " more stops; the CSV and JSON hold all of them\n";
  if (!sheet.settings.empty())
    out +=
        "*: set the circle anew. Left over: declination minus setting, to be added to a reading in the notebook\n"
        "   where the circle is set so, once.\n";
  return out;
}

}  // namespace

std::string text_of(const Sheet& sheet) {
  return head(sheet) + one_words(sheet) + settings_words(sheet) + zone_words(sheet) + stops_table(sheet) + "\n" +
         desk::refused_text(sheet.table, sheet.refused) + desk::notes_text(sheet.notes);
}

}  // namespace agonic::route
