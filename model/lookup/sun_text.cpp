#include <cmath>
#include <nlohmann/json.hpp>

#include "model/lookup/sun.hpp"
#include "model/units/number.hpp"

namespace agonic::lookup {
namespace {

using Json = nlohmann::ordered_json;
using survey::moment_text;

Json position_json(const survey::Sun& sun, survey::Instant instant) {
  return {{"time", moment_text(instant)},
          {"azimuth_deg", sun.azimuth.degrees()},
          {"elevation_deg", sun.elevation_deg},
          {"elevation_refracted_deg", sun.elevation_refracted_deg ? Json(*sun.elevation_refracted_deg) : Json()},
          {"azimuth_rate_deg_per_hour", sun.azimuth_rate_deg_per_hour},
          {"elevation_rate_deg_per_hour", sun.elevation_rate_deg_per_hour},
          {"above_horizon", sun.up()}};
}

Json instant_json(const std::optional<survey::Instant>& instant) {
  return instant ? Json(moment_text(*instant)) : Json();
}

// Times to the minute, on the clock that was asked for.
std::string clock_text(survey::Instant instant, std::chrono::minutes offset) {
  return moment_text(std::chrono::round<std::chrono::minutes>(instant), offset).substr(11, 5);
}

std::string right(const std::string& text, std::size_t width) {
  return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
}

std::string table_text(const SunAnswer& answer) {
  const auto& day = *answer.day;
  const auto offset = answer.query.moment.offset;
  const std::string first = moment_text(day.rows.front().instant, offset);
  const std::string clock = offset.count() == 0 ? "UTC" : "UTC" + first.substr(19);
  std::string text = "Sun on " + first.substr(0, 10) + ", times in " + clock + "\n";
  if (day.up_all_day || day.down_all_day) {
    text += day.up_all_day ? "It does not set.\n" : "It does not rise.\n";
  } else {
    if (day.rise) text += "rises " + clock_text(*day.rise, offset) + "  ";
    if (day.noon) text += "meridian " + clock_text(*day.noon, offset) + "  ";
    if (day.set) text += "sets " + clock_text(*day.set, offset);
    text += "\n";
  }
  if (day.down_all_day) return text;
  text += " time   azimuth    seen at  azimuth an hour\n";
  for (const auto& row : day.rows) {
    if (!row.sun.up()) continue;
    const bool ends_the_day = row.instant - day.rows.front().instant >= std::chrono::days(1);
    text += (ends_the_day ? "24:00" : clock_text(row.instant, offset)) +
            right(format_azimuth(row.sun.azimuth.degrees(), 2), 10) +
            right(format_fixed(*row.sun.elevation_refracted_deg, 2), 11) +
            right(format_fixed(row.sun.azimuth_rate_deg_per_hour, 1), 17) + "\n";
  }
  return text;
}

}  // namespace

std::string to_json(const SunAnswer& answer) {
  Json out;
  if (answer.day) {
    const auto& day = *answer.day;
    out["rise"] = instant_json(day.rise);
    out["noon"] = instant_json(day.noon);
    out["set"] = instant_json(day.set);
    out["up_all_day"] = day.up_all_day;
    out["down_all_day"] = day.down_all_day;
    out["step_minutes"] = *answer.query.step_minutes;
    Json rows = Json::array();
    for (const auto& row : day.rows) rows.push_back(position_json(row.sun, row.instant));
    out["rows"] = std::move(rows);
    out["delta_t_s"] = day.rows.front().sun.delta_t_s;
  } else {
    const auto& sun = answer.sun;
    out = position_json(sun, answer.query.moment.instant);
    out["azimuth_error_deg_per_clock_minute"] = std::abs(sun.azimuth_rate_deg_per_hour) / 60;
    out["hour_angle_deg"] = sun.hour_angle_deg;
    out["sun_declination_deg"] = sun.sun_declination_deg;
    out["semidiameter_deg"] = sun.semidiameter_deg;
    out["delta_t_s"] = sun.delta_t_s;
  }
  out["accuracy_deg"] = survey::kSunAccuracyDeg;
  out["pressure_hpa"] = answer.query.air.pressure_hpa;
  out["temperature_c"] = answer.query.air.temperature_c;
  out["lat_deg"] = answer.query.place.lat_deg;
  out["lon_deg"] = answer.query.place.lon_deg;
  out["instructions"] = to_text(answer);
  out["warnings"] = answer.warnings;
  out["warning_codes"] = answer.warning_codes;
  out["software"] = "agonic " AGONIC_VERSION;
  return out.dump();
}

std::string to_text(const SunAnswer& answer) {
  if (answer.day) return table_text(answer);
  const auto& sun = answer.sun;
  std::string text = "Sun " + moment_text(answer.query.moment.instant, answer.query.moment.offset) + ": true azimuth " +
                     format_azimuth(sun.azimuth.degrees(), 2) + ", elevation " + format_fixed(sun.elevation_deg, 2);
  if (sun.elevation_refracted_deg) text += " (seen at " + format_fixed(*sun.elevation_refracted_deg, 2) + ")";
  const auto change = [](double rate) { return (rate < 0 ? "" : "+") + format_fixed(rate, 2); };
  text += "\nIn an hour the azimuth changes by " + change(sun.azimuth_rate_deg_per_hour) + " and the elevation by " +
          change(sun.elevation_rate_deg_per_hour) + "; a clock 1 minute wrong turns the azimuth by " +
          format_fixed(std::abs(sun.azimuth_rate_deg_per_hour) / 60, 2) + ".\n";
  return text;
}

}  // namespace agonic::lookup
