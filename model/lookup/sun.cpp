#include "model/lookup/sun.hpp"

#include <cmath>

#include "model/lookup/lookup.hpp"
#include "model/units/number.hpp"

namespace agonic::lookup {
namespace {

constexpr int kDefaultStep = 60, kLongestStep = 720;

Result<std::optional<double>> number(const Parameters& parameters, std::string_view name, double low, double high,
                                     const char* what) {
  const auto text = parameters.get(name);
  if (!text) return std::optional<double>();
  const auto value = parse_number(*text);
  if (!value || *value < low || *value > high)
    return Problem{Code::out_of_range, std::string(name), std::string(*text),
                   std::string(what) + " from " + format_trimmed(low) + " to " + format_trimmed(high),
                   "Correct it, or leave it out"};
  return std::optional<double>(*value);
}

Result<std::optional<int>> step_of(const Parameters& parameters) {
  const auto table = parameters.get("table");
  if (table && lower(*table) != "day")
    return Problem{Code::unknown_name, "table", std::string(*table), "there is no such table", "Give table=day"};
  auto step = number(parameters, "step_minutes", 1, kLongestStep, "the step is a whole number of minutes");
  if (!step) return step.problem();
  if (step.value() && std::floor(**step) != **step)
    return Problem{Code::out_of_range, "step_minutes", std::string(*parameters.get("step_minutes")),
                   "the step is a whole number of minutes from 1 to 720", "Give it as 10"};
  if (!table) {
    if (step.value())
      return Problem{Code::not_applicable, "step_minutes", std::string(*parameters.get("step_minutes")),
                     "there is no table to step through", "Add table=day, or leave it out"};
    return std::optional<int>();
  }
  return std::optional<int>(step.value() ? static_cast<int>(**step) : kDefaultStep);
}

void add_warnings(SunAnswer& answer) {
  answer.warn({"sun-caution", kSunCaution});
  if (answer.day) {
    if (answer.day->down_all_day) answer.warn({"sun-does-not-rise", "The sun does not rise on this day."});
    return;
  }
  const survey::Sun& sun = answer.sun;
  if (!sun.up()) {
    answer.warn({"sun-below-horizon", "The sun is below the horizon then."});
  } else if (sun.elevation_deg > survey::kSunHighDeg) {
    answer.warn({"sun-high", "The sun is high: a minute of clock error turns its azimuth by " +
                                 format_fixed(std::abs(sun.azimuth_rate_deg_per_hour) / 60, 2) +
                                 " degrees, a plumb line or sight 1 degree off upright by up to " +
                                 format_fixed(std::tan(std::min(sun.elevation_deg, 89.0) * kDegree), 2) +
                                 ". Take it below 30 degrees if you can."});
  }
}

}  // namespace

const std::string kSunCaution =
    "Never look at the sun or sight it directly: use the shadow of a plumb line, or a sight made for it.";

Result<SunQuery> parse_sun_query(const Parameters& parameters, std::chrono::sys_days today) {
  SunQuery query;
  geodesy::Letters letters;
  if (const auto text = parameters.get("letters")) {
    auto parsed = geodesy::parse_letters(*text);
    if (!parsed) return parsed.problem();
    letters = *parsed;
  }
  auto place = place_of(parameters, letters);
  if (!place) return place.problem();
  query.place = *std::move(place);
  if (const auto height = parameters.get("height_m")) {
    auto parsed = geodesy::parse_height(*height);
    if (!parsed) return parsed.problem();
    query.height_m = *parsed;
  }
  auto step = step_of(parameters);
  if (!step) return step.problem();
  query.step_minutes = *step;
  const auto time = parameters.get("time").value_or("");
  auto moment = survey::parse_moment(time, today, query.step_minutes.has_value());
  if (!moment) return moment.problem();
  query.moment = *moment;
  query.is_today = lower(trim(time)) == "today";
  auto pressure = number(parameters, "pressure_hpa", 0, 1100, "the pressure at the place is a number of hPa");
  if (!pressure) return pressure.problem();
  auto temperature = number(parameters, "temperature_c", -90, 60, "the temperature is a number of degrees Celsius");
  if (!temperature) return temperature.problem();
  query.air.pressure_hpa = pressure->value_or(query.air.pressure_hpa);
  query.air.temperature_c = temperature->value_or(query.air.temperature_c);
  return query;
}

SunAnswer sun(const SunQuery& query) {
  SunAnswer answer;
  answer.query = query;
  const survey::SunPlace place{query.place.lat_deg, query.place.lon_deg};
  if (query.step_minutes) {
    // The day on the clock of the written offset.
    const auto begin = std::chrono::floor<std::chrono::days>(query.moment.instant + query.moment.offset);
    answer.day = survey::sun_day(place, survey::Instant(begin) - query.moment.offset, *query.step_minutes, query.air);
  } else {
    answer.sun = survey::sun_at(place, query.moment.instant, query.air);
  }
  add_warnings(answer);
  if (query.place.zone_mismatch)
    answer.warn(
        {"utm-zone-mismatch", "The UTM zone written is not the standard one of this place: check the zone number."});
  return answer;
}

}  // namespace agonic::lookup
