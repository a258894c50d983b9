#include "model/lookup/setting.hpp"

#include "model/units/number.hpp"
#include "model/units/yes.hpp"

namespace agonic::lookup {

Result<instrument::CircleKind> parse_circle(const Parameters& parameters) {
  instrument::CircleKind circle;
  if (const auto text = parameters.get("graduation")) {
    const auto value = parse_number(*text);
    if (!value || *value < 0.01 || *value > 10)
      return Problem{Code::out_of_range, "graduation", std::string(*text),
                     "the graduation of a circle is a number of degrees from 0.01 to 10",
                     "Give the smallest division of the circle, as 1 or 0.5"};
    circle.graduation_deg = *value;
  }
  if (const auto text = parameters.get("circle")) {
    const std::string word = lower(*text);
    if (word == "quadrant")
      circle.figures = instrument::Figures::quadrant;
    else if (word == "fixed")
      circle.turnable = false;
    else if (word != "azimuth")
      return Problem{Code::unknown_name, "circle", std::string(*text), "this is no kind of circle",
                     "Give azimuth (0 to 360), quadrant (N E S W), or fixed if it cannot be turned"};
  }
  if (const auto text = parameters.get("east_turn")) {
    const std::string word = lower(*text);
    if (word == "clockwise")
      circle.east_turn = instrument::Sense::clockwise;
    else if (word == "counterclockwise")
      circle.east_turn = instrument::Sense::counterclockwise;
    else
      return Problem{Code::unknown_name, "east_turn", std::string(*text), "this is no sense of turning",
                     "Give clockwise or counterclockwise: which way this circle turns for an easterly declination"};
  }
  return circle;
}

Result<SettingQuery> parse_setting_query(const Parameters& parameters, std::chrono::sys_days today) {
  SettingQuery query;
  auto where = parse_query(parameters, today);
  if (!where) return where.problem();
  query.where = *std::move(where);
  auto circle = parse_circle(parameters);
  if (!circle) return circle.problem();
  query.circle = *circle;
  if (const auto text = parameters.get("until")) {
    DateContext context{today};
    context.may_lie_ahead = true;
    context.field = "until";
    auto until = parse_date(*text, context);
    if (!until) return until.problem();
    if (until->decimal_year < query.where.date.decimal_year)
      return Problem{Code::contradiction, "until", std::string(*text), "it lies before the date",
                     "Give the last day the setting is for"};
    query.until = *std::move(until);
  }
  auto force = parse_yes(parameters.get("force_unusable").value_or(""), "force_unusable");
  if (!force) return force.problem();
  query.force_unusable = *force;
  return query;
}

Result<SettingAnswer> setting(const field::Catalogue& catalogue, geodesy::Grids& grids, const SettingQuery& query) {
  auto answer = declination(catalogue, grids, query.where);
  if (!answer) return answer.problem();
  const auto& spot = query.where;
  if (answer->field.needle == field::Needle::unusable && !query.force_unusable)
    return Problem{Code::needle_unusable, "place", "",
                   "the horizontal field is " + format_fixed(answer->field.elements.horizontal_nt, 0) +
                       " nT there and then, below 2000: a needle does not point reliably",
                   "Use the sun or a known line; force_unusable=yes answers all the same"};
  const bool automatic = query.where.model == "auto";
  const double last_year = automatic ? catalogue.last_year() : answer->field.model->valid_to;
  if (query.until && query.until->decimal_year > last_year) {
    auto outside = catalogue.choose(query.where.model, query.until->decimal_year);
    Problem problem = outside ? Problem{} : outside.problem();
    problem.field = "until";
    problem.value = query.until->iso;
    return problem;
  }
  const auto at = [&](double year) {
    const auto choice = catalogue.choose(query.where.model, year);
    const auto& model = choice ? *choice->model : *answer->field.model;
    return field::elements(field::evaluate(model, spot.place.lat_deg, spot.place.lon_deg, spot.height_m, year))
        .declination_deg;
  };
  SettingAnswer out;
  out.circle = query.circle;
  out.until = query.until;
  out.setting =
      instrument::find_setting(query.circle, at, spot.date.decimal_year,
                               query.until ? std::optional(query.until->decimal_year) : std::nullopt, last_year);
  out.declination = *std::move(answer);
  if (query.until && query.circle.turnable &&
      (!out.setting.holds_until || date_of_decimal_year(query.until->decimal_year).iso > *out.setting.holds_until))
    out.declination.warn(
        {"setting-does-not-hold",
         "No one setting stays within half a graduation for the whole span: set the circle anew on the way."});
  return out;
}

}  // namespace agonic::lookup
