// A place and a date to everything that is known of the declination there: the answer behind /v1/declination.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "model/field/declination.hpp"
#include "model/geodesy/grid.hpp"
#include "model/geodesy/place.hpp"
#include "model/units/angle.hpp"
#include "model/units/date.hpp"
#include "model/units/parameters.hpp"
#include "model/units/warning.hpp"

namespace agonic::lookup {

/// What is asked.
struct Query {
  geodesy::Place place;
  double height_m = 0;
  Date date;
  bool date_is_today = false;  ///< asked as `today`: the answer changes at 00:00 UTC
  std::string model = "auto";
  std::string crs = "utm";
};

/// The place among the parameters: place, or lat and lon.
Result<geodesy::Place> place_of(const Parameters& parameters, const geodesy::Letters& letters);

/// The parameters of a lookup: place | lat, lon; height_m; date; model; crs; letters; date_order.
Result<Query> parse_query(const Parameters& parameters, std::chrono::sys_days today);

/// The answer, with everything contract-bound to be in it.
struct Answer : Warned {
  Query query;
  field::FieldAnswer field;
  std::optional<Convergence> convergence;  ///< absent where the grid does not reach
  std::string grid;
};

Result<Answer> declination(const field::Catalogue& catalogue, geodesy::Grids& grids, const Query& query);

/// One flat JSON object, numbers unrounded.
std::string to_json(const Answer& answer);
/// "13.69 W (-13.69) +/- 0.37  wmm2025": the first line for people; warnings are lines of their own.
std::string to_line(const Answer& answer);

/// The models, spans, sources and the result of the self-check, as JSON.
std::string models_json(const field::Catalogue& catalogue);

}  // namespace agonic::lookup
