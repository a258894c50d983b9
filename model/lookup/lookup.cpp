#include "model/lookup/lookup.hpp"

#include "model/field/warnings.hpp"
#include "model/units/number.hpp"

namespace agonic::lookup {

Result<geodesy::Place> place_of(const Parameters& parameters, const geodesy::Letters& letters) {
  const auto place = parameters.get("place"), lat = parameters.get("lat"), lon = parameters.get("lon");
  if (place && (lat || lon))
    return Problem{Code::contradiction, "place", std::string(*place), "place and lat, lon are both given",
                   "Give one of them"};
  if (place) return geodesy::parse_place(*place, letters);
  if (!lat && !lon)
    return Problem{Code::missing_value, "place", "", "the place is missing",
                   "Give place, or lat and lon, as lat=42.283 and lon=-71.35"};
  if (!lat || !lon)
    return Problem{Code::missing_value, lat ? "lon" : "lat", "", "one half of the place is missing",
                   "Give lat and lon together"};
  return geodesy::parse_lat_lon(*lat, *lon, letters);
}

Result<Query> parse_query(const Parameters& parameters, std::chrono::sys_days today) {
  Query query;
  geodesy::Letters letters;
  DateContext dates{today};
  dates.may_lie_ahead = true;
  if (const auto text = parameters.get("letters")) {
    auto parsed = geodesy::parse_letters(*text);
    if (!parsed) return parsed.problem();
    letters = *parsed;
  }
  if (const auto text = parameters.get("date_order")) {
    auto parsed = parse_date_order(*text);
    if (!parsed) return parsed.problem();
    dates.order = *parsed;
  }
  auto place = place_of(parameters, letters);
  if (!place) return place.problem();
  query.place = *std::move(place);
  if (const auto height = parameters.get("height_m")) {
    auto parsed = geodesy::parse_height(*height);
    if (!parsed) return parsed.problem();
    query.height_m = *parsed;
  }
  const auto date_text = parameters.get("date").value_or("");
  auto date = parse_date(date_text, dates);
  if (!date) {
    if (date.problem().code == Code::date_missing)
      date.problem().remedy = "Give the date, as 2028-07-04, or the word today";
    return date.problem();
  }
  query.date = *std::move(date);
  query.date_is_today = lower(date_text).find("today") != std::string::npos;
  query.model = lower(parameters.get("model").value_or("auto"));
  query.crs = parameters.get("crs").value_or("utm");
  return query;
}

Result<Answer> declination(const field::Catalogue& catalogue, geodesy::Grids& grids, const Query& query) {
  Answer answer;
  auto field = field::field_answer(catalogue, query.model,
                                   {query.place.lat_deg, query.place.lon_deg, query.height_m, query.date.decimal_year});
  if (!field) {
    Problem problem = field.problem();
    if (problem.code == Code::date_outside_models) problem.field = "date", problem.value = query.date.iso;
    return problem;
  }
  answer.query = query;
  answer.field = *std::move(field);
  auto grid = grids.at(query.crs, query.place.lat_deg, query.place.lon_deg);
  if (!grid) return grid.problem();
  answer.convergence = Convergence{grid->convergence_deg};
  answer.grid = grid->name;
  for (Warning& warning : field::coded_warnings(answer.field)) answer.warn(std::move(warning));
  if (query.place.zone_mismatch)
    answer.warn(
        {"utm-zone-mismatch", "The UTM zone written is not the standard one of this place: check the zone number."});
  if (query.place.notation != geodesy::Place::Notation::degrees)
    answer.warn(
        {"datum-not-stated",
         "Grid coordinates are taken as WGS84; an old datum shifts about 100 m, which declination does not notice."});
  if (!query.date.note.empty()) answer.warn({"date-read-as", "Date: " + query.date.note + "."});
  if (query.date.first_of_january)
    answer.warn(
        {"first-of-january",
         "The date is a 1st of January: if only the year is known, give the year alone, which means its middle."});
  if (query.height_m < -1000 || query.height_m > 10000)
    answer.warn({"height-unit", "The height lies outside -1000 to 10000 m: is it in metres?"});
  return answer;
}

}  // namespace agonic::lookup
