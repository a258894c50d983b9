// Rules and stops: texts to types.
#include <cmath>

#include "model/lookup/setting.hpp"
#include "model/route/parts.hpp"
#include "model/units/number.hpp"
#include "model/units/yes.hpp"

namespace agonic::route {
namespace {

constexpr double kWidestTolerance = 45;

// A circle is divided evenly all round.
bool divides_the_circle(double graduation) {
  const double parts = 360 / graduation;
  return std::abs(parts - std::nearbyint(parts)) < 1e-6;
}

}  // namespace

Result<Rules> rules_of(const Parameters& parameters) {
  if (auto problem =
          parameters.unknown({"date", "height_m", "legs", "tolerance", "gpx_part", "graduation", "circle", "east_turn",
                              "model", "letters", "date_order", "decimal", "delimiter", "force_unusable"}))
    return *problem;
  Rules rules;
  rules.model = lower(parameters.get("model").value_or("auto"));
  auto circle = lookup::parse_circle(parameters);
  if (!circle) return circle.problem();
  rules.circle = *circle;
  if (!divides_the_circle(circle->graduation_deg))
    return Problem{Code::out_of_range, "graduation", std::string(parameters.get("graduation").value_or("")),
                   "360 is no multiple of it, so that no circle is divided so",
                   "Give the smallest division, as 1 or 0.5"};
  rules.tolerance_deg = circle->graduation_deg / 2;
  if (const auto text = parameters.get("tolerance")) {
    auto value = desk::number(parameters, "tolerance", 0);
    if (!value) return value.problem();
    if (!(*value > 0) || *value > kWidestTolerance)
      return Problem{Code::out_of_range, "tolerance", std::string(*text),
                     "a tolerance lies above 0 and up to 45 degrees", "Give degrees that may be left over, as 0.5"};
    if (*value < rules.tolerance_deg - 1e-9)
      return Problem{
          Code::contradiction, "tolerance", std::string(*text),
          "no circle divided into " + format_trimmed(circle->graduation_deg) +
              " degrees is always set nearer than half of that",
          "Give " + format_trimmed(rules.tolerance_deg) + " or more, or the finer graduation the circle has"};
    rules.tolerance_deg = *value;
    rules.tolerance_given = true;
  }
  const auto yes = [&](std::string_view name) {
    return parse_yes(parameters.get(name).value_or(""), std::string(name));
  };
  auto legs = yes("legs");
  if (!legs) return legs.problem();
  auto force = yes("force_unusable");
  if (!force) return force.problem();
  rules.legs = *legs;
  rules.force_unusable = *force;
  return rules;
}

Result<Stop> stop_of(const desk::Table& table, std::size_t row, const Parameters& defaults,
                     std::chrono::sys_days today) {
  const desk::Row& cells = table.rows[row];
  if (cells.problem) return *cells.problem;
  Stop stop;
  stop.row = row;
  stop.label = "stop " + std::to_string(row + 1);
  for (const std::string_view name : {"id", "name"})
    if (const auto text = table.cell(cells, name)) stop.label = printable(*text, 40);
  geodesy::Letters letters;
  DateContext dates{today};
  dates.may_lie_ahead = true;
  if (const auto text = defaults.get("letters")) {
    auto parsed = geodesy::parse_letters(*text);
    if (!parsed) return parsed.problem();
    letters = *parsed;
  }
  if (const auto text = defaults.get("date_order")) {
    auto parsed = parse_date_order(*text);
    if (!parsed) return parsed.problem();
    dates.order = *parsed;
  }
  const auto place = table.cell(cells, "place"), lat = table.cell(cells, "lat"), lon = table.cell(cells, "lon");
  if (place && (lat || lon))
    return Problem{Code::contradiction, "place", std::string(*place), "place and lat, lon are both given",
                   "Give one of them"};
  if (!place && !(lat && lon))
    return Problem{Code::missing_value,
                   lat   ? "lon"
                   : lon ? "lat"
                         : "place",
                   {},
                   "where the stop lies is missing",
                   "Give place, or lat and lon"};
  auto where = place ? geodesy::parse_place(*place, letters, table.decimal_mark)
                     : geodesy::parse_lat_lon(*lat, *lon, letters, table.decimal_mark);
  if (!where) return where.problem();
  stop.spot.lat_deg = where->lat_deg;
  stop.spot.lon_deg = where->lon_deg;
  const auto own_height = table.cell(cells, "height_m");
  if (const auto text = own_height ? own_height : defaults.get("height_m")) {
    auto height = geodesy::parse_height(*text, own_height ? table.decimal_mark : '.');
    if (!height) return height.problem();
    stop.spot.height_m = *height;
  }
  const auto own_date = table.cell(cells, "date");
  auto date = parse_date(own_date ? *own_date : defaults.get("date").value_or(""), dates);
  if (!date) {
    if (date.problem().code == Code::date_missing)
      date.problem().remedy = "Give the day of the stop, or one date for all stops that have none";
    return date.problem();
  }
  stop.date = *std::move(date);
  stop.spot.decimal_year = stop.date.decimal_year;
  return stop;
}

}  // namespace agonic::route
