#include <nlohmann/json.hpp>

#include "model/field/selftest.hpp"
#include "model/lookup/lookup.hpp"
#include "model/lookup/setting.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/json_out.hpp"
#include "model/units/number.hpp"

namespace agonic::lookup {
namespace {

using Json = nlohmann::ordered_json;

// 2025.0 as a date a person knows.
std::string day_of(double decimal_year) { return date_of_decimal_year(decimal_year).iso; }

std::optional<double> degrees_of(const std::optional<Convergence>& angle) {
  if (!angle) return std::nullopt;
  return angle->deg;
}

void add_declination(const Answer& answer, JsonObject& out) {
  const auto& field = answer.field;
  const auto& e = field.elements;
  const auto& v = field.vector;
  out.add("declination_deg", e.declination_deg);
  out.add("declination_text", declination_text(e.declination_deg));
  out.add("declination_sigma_deg", field.sigma_deg);
  out.add("declination_95_deg", field.half_width_95_deg);
  out.add("sigma_basis", field.sigma_basis);
  out.add("declination_change_deg_per_year", e.declination_deg_per_year);
  out.add("inclination_deg", e.inclination_deg);
  out.add("inclination_change_deg_per_year", e.inclination_deg_per_year);
  out.add("horizontal_nt", e.horizontal_nt);
  out.add("total_nt", e.total_nt);
  out.add("north_nt", v.north_nt);
  out.add("east_nt", v.east_nt);
  out.add("down_nt", v.down_nt);
  out.add("horizontal_change_nt_per_year", e.horizontal_nt_per_year);
  out.add("total_change_nt_per_year", e.total_nt_per_year);
  out.add("north_change_nt_per_year", v.north_nt_per_year);
  out.add("east_change_nt_per_year", v.east_nt_per_year);
  out.add("down_change_nt_per_year", v.down_nt_per_year);
  out.add("convergence_deg", degrees_of(answer.convergence));
  if (answer.convergence)
    out.add("grid_to_magnetic_deg", wrap_180((Declination{e.declination_deg} - *answer.convergence).deg));
  else
    out.null("grid_to_magnetic_deg");
  out.add("grid", answer.grid);
  out.add("lat_deg", answer.query.place.lat_deg);
  out.add("lon_deg", answer.query.place.lon_deg);
  out.add("height_m", answer.query.height_m);
  out.add("date", answer.query.date.iso);
  out.add("decimal_year", answer.query.date.decimal_year);
  out.add("model", field.model->id);
  out.add("model_valid_from", field.model->valid_from);
  out.add("model_valid_to", field.model->valid_to);
  out.add("needle", word(field.needle));
  out.add("tilt_error_deg_per_deg", field.tilt_error_deg_per_deg);
  out.add("small_scale_deg", field.small_scale_deg);
  out.add("warnings", std::span<const std::string>(answer.warnings));
  out.add("warning_codes", std::span<const std::string>(answer.warning_codes));
  out.add("software", "agonic " AGONIC_VERSION);
}

}  // namespace

std::string to_json(const Answer& answer) {
  Text text;
  JsonObject out(text);
  add_declination(answer, out);
  out.end();
  return std::string(text.view());
}

std::string to_json(const SettingAnswer& answer) {
  const auto& s = answer.setting;
  const int decimals = instrument::decimals_of(answer.circle.graduation_deg);
  Text text;
  JsonObject out(text);
  out.add("set_to_deg", s.set_to_deg);
  out.add("set_to_text", declination_text(s.set_to_deg, decimals));
  out.add("turn", word(s.turn));
  out.add("leftover_deg", s.leftover_deg);
  out.add("leftover_at_end_deg", s.leftover_at_end_deg);
  out.add("largest_leftover_deg", s.largest_leftover_deg);
  out.add("reads_along_needle_deg", s.reads_along_needle_deg);
  out.add("reads_along_needle_text", instrument::reads_text(s.reads_along_needle_deg, answer.circle));
  out.add("reads_if_backwards_deg", s.reads_if_backwards_deg);
  out.add("reads_if_backwards_text", instrument::reads_text(s.reads_if_backwards_deg, answer.circle));
  if (s.holds_until)
    out.add("holds_until", *s.holds_until);
  else
    out.null("holds_until");
  out.add("holds_to_the_end_of_the_models", s.holds_to_the_end);
  out.add("graduation_deg", answer.circle.graduation_deg);
  out.add("circle", !answer.circle.turnable                                  ? "fixed"
                    : answer.circle.figures == instrument::Figures::quadrant ? "quadrant"
                                                                             : "azimuth");
  out.add("east_turn", word(answer.circle.east_turn));
  if (answer.until)
    out.add("until", answer.until->iso);
  else
    out.null("until");
  out.add("instructions", to_text(answer));
  add_declination(answer.declination, out);
  out.end();
  return std::string(text.view());
}

std::string models_json(const field::Catalogue& catalogue) {
  Json models = Json::array();
  for (const auto& model : catalogue.models()) {
    models.push_back({{"id", model->id},
                      {"title", model->title},
                      {"valid_from", model->valid_from},
                      {"valid_to", model->valid_to},
                      {"valid_from_date", day_of(model->valid_from)},
                      {"valid_to_date", day_of(model->valid_to)},
                      {"degree", model->degree},
                      {"source", model->source},
                      {"doi", model->doi},
                      {"licence", model->licence},
                      {"sha256", model->sha256}});
  }
  Json checks = Json::array();
  const auto rows = field::selftest(catalogue);
  for (const auto& row : rows)
    checks.push_back({{"name", row.name},
                      {"model", row.model},
                      {"source", row.source},
                      {"values", row.values},
                      {"wrong", row.wrong},
                      {"passed", row.passed()}});
  Json out{{"models", std::move(models)},      {"auto_from", catalogue.first_year()},
           {"auto_to", catalogue.last_year()}, {"selftest_passed", field::all_passed(rows)},
           {"selftest", std::move(checks)},    {"software", "agonic " AGONIC_VERSION}};
  return out.dump();
}

}  // namespace agonic::lookup
