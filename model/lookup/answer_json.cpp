#include <nlohmann/json.hpp>

#include "model/field/selftest.hpp"
#include "model/lookup/lookup.hpp"
#include "model/lookup/setting.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::lookup {
namespace {

using Json = nlohmann::ordered_json;

// 2025.0 as a date a person knows.
std::string day_of(double decimal_year) { return date_of_decimal_year(decimal_year).iso; }

Json declination_json(const Answer& answer) {
  const auto& field = answer.field;
  const auto& e = field.elements;
  const auto& v = field.vector;
  Json out;
  out["declination_deg"] = e.declination_deg;
  out["declination_text"] = declination_text(e.declination_deg);
  out["declination_sigma_deg"] = field.sigma_deg;
  out["declination_95_deg"] = field.half_width_95_deg;
  out["sigma_basis"] = field.sigma_basis;
  out["declination_change_deg_per_year"] = e.declination_deg_per_year;
  out["inclination_deg"] = e.inclination_deg;
  out["inclination_change_deg_per_year"] = e.inclination_deg_per_year;
  out["horizontal_nt"] = e.horizontal_nt;
  out["total_nt"] = e.total_nt;
  out["north_nt"] = v.north_nt;
  out["east_nt"] = v.east_nt;
  out["down_nt"] = v.down_nt;
  out["horizontal_change_nt_per_year"] = e.horizontal_nt_per_year;
  out["total_change_nt_per_year"] = e.total_nt_per_year;
  out["north_change_nt_per_year"] = v.north_nt_per_year;
  out["east_change_nt_per_year"] = v.east_nt_per_year;
  out["down_change_nt_per_year"] = v.down_nt_per_year;
  out["convergence_deg"] = answer.convergence ? Json(answer.convergence->deg) : Json();
  out["grid_to_magnetic_deg"] =
      answer.convergence ? Json(wrap_180((Declination{e.declination_deg} - *answer.convergence).deg)) : Json();
  out["grid"] = answer.grid;
  out["lat_deg"] = answer.query.place.lat_deg;
  out["lon_deg"] = answer.query.place.lon_deg;
  out["height_m"] = answer.query.height_m;
  out["date"] = answer.query.date.iso;
  out["decimal_year"] = answer.query.date.decimal_year;
  out["model"] = field.model->id;
  out["model_valid_from"] = field.model->valid_from;
  out["model_valid_to"] = field.model->valid_to;
  out["needle"] = word(field.needle);
  out["tilt_error_deg_per_deg"] = field.tilt_error_deg_per_deg;
  out["small_scale_deg"] = field.small_scale_deg ? Json(*field.small_scale_deg) : Json();
  out["warnings"] = answer.warnings;
  out["software"] = "agonic " AGONIC_VERSION;
  return out;
}

}  // namespace

std::string to_json(const Answer& answer) { return declination_json(answer).dump(); }

std::string to_json(const SettingAnswer& answer) {
  const auto& s = answer.setting;
  const int decimals = instrument::decimals_of(answer.circle.graduation_deg);
  Json out;
  out["set_to_deg"] = s.set_to_deg;
  out["set_to_text"] = declination_text(s.set_to_deg, decimals);
  out["turn"] = word(s.turn);
  out["leftover_deg"] = s.leftover_deg;
  out["leftover_at_end_deg"] = s.leftover_at_end_deg;
  out["largest_leftover_deg"] = s.largest_leftover_deg;
  out["reads_along_needle_deg"] = s.reads_along_needle_deg;
  out["reads_along_needle_text"] = instrument::reads_text(s.reads_along_needle_deg, answer.circle);
  out["reads_if_backwards_deg"] = s.reads_if_backwards_deg;
  out["reads_if_backwards_text"] = instrument::reads_text(s.reads_if_backwards_deg, answer.circle);
  out["holds_until"] = s.holds_until ? Json(*s.holds_until) : Json();
  out["holds_to_the_end_of_the_models"] = s.holds_to_the_end;
  out["graduation_deg"] = answer.circle.graduation_deg;
  out["circle"] = !answer.circle.turnable                                  ? "fixed"
                  : answer.circle.figures == instrument::Figures::quadrant ? "quadrant"
                                                                           : "azimuth";
  out["east_turn"] = word(answer.circle.east_turn);
  out["until"] = answer.until ? Json(answer.until->iso) : Json();
  out["instructions"] = to_text(answer);
  out.update(declination_json(answer.declination));
  return out.dump();
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
