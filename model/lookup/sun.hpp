// The sun at a place: a direction that needs no needle. The answer behind /v1/sun.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "model/geodesy/place.hpp"
#include "model/survey/sun.hpp"
#include "model/units/parameters.hpp"
#include "model/units/problem.hpp"
#include "model/units/warning.hpp"

namespace agonic::lookup {

struct SunQuery {
  geodesy::Place place;
  double height_m = 0;
  survey::Moment moment;
  survey::Air air;
  bool is_today = false;            ///< asked as `today`
  std::optional<int> step_minutes;  ///< a table of the day; [1, 720]
};

/// place | lat, lon; height_m; letters; time (with Z or an offset); table=day with step_minutes (60 if absent), where a
/// date alone means the UTC day; pressure_hpa, temperature_c for the refraction.
Result<SunQuery> parse_sun_query(const Parameters& parameters, std::chrono::sys_days today);

struct SunAnswer : Warned {
  SunQuery query;
  survey::Sun sun;                    ///< without a table
  std::optional<survey::SunDay> day;  ///< with a table: the day in the offset of the time
};

SunAnswer sun(const SunQuery& query);

/// What everybody who sights the sun must know.
extern const std::string kSunCaution;

std::string to_json(const SunAnswer& answer);
/// A few lines, or the table, for a person.
std::string to_text(const SunAnswer& answer);

}  // namespace agonic::lookup
