#include <iostream>
#include <memory>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/remote.hpp"
#include "coefficients/folder.hpp"
#include "model/lookup/lookup.hpp"
#include "model/lookup/setting.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

struct Lookup {
  PlaceWords place;
  NamedOptions options;
  bool full = false;
  [[nodiscard]] Parameters parameters() const {
    Parameters out = options.parameters();
    place.put_into(out);
    return out;
  }
};

void print_warnings(const Warned& answer) {
  for (std::size_t i = 0; i < answer.warnings.size(); ++i)
    std::cerr << "note: " << answer.warnings[i] << " [" << answer.warning_codes[i] << "]\n";
}

std::string row(const std::string& name, const std::string& value) {
  return "  " + name + std::string(name.size() < 26 ? 26 - name.size() : 1, ' ') + value + "\n";
}

// Every element with its unit, for people.
std::string table(const lookup::Answer& answer) {
  const auto& e = answer.field.elements;
  const auto& v = answer.field.vector;
  const auto nt = [](double value, double change) {
    return format_fixed(value, 1) + " nT, " + format_fixed(change, 1) + " nT a year";
  };
  std::string out;
  out += row("place", format_fixed(answer.query.place.lat_deg, 5) + " " + format_fixed(answer.query.place.lon_deg, 5) +
                          ", " + format_trimmed(answer.query.height_m) + " m");
  out += row("date", answer.query.date.iso);
  out += row("declination",
             declination_text(e.declination_deg) + ", " + declination_text(e.declination_deg_per_year, 3) + " a year");
  out += row("1-sigma, 95 %",
             format_fixed(answer.field.sigma_deg, 2) + ", " + format_fixed(answer.field.half_width_95_deg, 2));
  out += row("  their basis", std::string(answer.field.sigma_basis));
  out += row("inclination",
             format_fixed(e.inclination_deg, 2) + ", " + format_fixed(e.inclination_deg_per_year, 3) + " a year");
  out += row("horizontal",
             nt(e.horizontal_nt, e.horizontal_nt_per_year) + "; needle " + std::string(word(answer.field.needle)));
  out += row("total", nt(e.total_nt, e.total_nt_per_year));
  out += row("north", nt(v.north_nt, v.north_nt_per_year));
  out += row("east", nt(v.east_nt, v.east_nt_per_year));
  out += row("down", nt(v.down_nt, v.down_nt_per_year));
  out += row("grid", answer.grid + ", convergence " + declination_text(answer.convergence->deg));
  out +=
      row("grid to magnetic", declination_text(wrap_180((Declination{e.declination_deg} - *answer.convergence).deg)));
  out +=
      row("tilt error", format_fixed(answer.field.tilt_error_deg_per_deg, 2) + " degrees a degree off level, at worst");
  if (answer.field.small_scale_deg) out += row("small-scale field", declination_text(*answer.field.small_scale_deg));
  out += row("model", answer.field.model->title + ", " + format_fixed(answer.field.model->valid_from, 1) + " to " +
                          format_fixed(answer.field.model->valid_to, 1));
  return out;
}

int run_declination(const Lookup& lookup, const Common& common) {
  if (!common.server.empty()) return remote_lookup(common, "/v1/declination", lookup.parameters());
  auto query = lookup::parse_query(lookup.parameters(), today());
  if (!query) return report(query.problem(), common.json);
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  geodesy::Grids grids;
  auto answer = lookup::declination(catalogue, grids, *query);
  if (!answer) return report(answer.problem(), common.json);
  if (common.json) {
    std::cout << to_json(*answer) << '\n';
    return kDone;
  }
  std::cout << to_line(*answer) << '\n';
  if (lookup.full) std::cout << table(*answer);
  print_warnings(*answer);
  return kDone;
}

int run_setting(const Lookup& lookup, const Common& common) {
  if (!common.server.empty()) return remote_lookup(common, "/v1/setting", lookup.parameters());
  auto query = lookup::parse_setting_query(lookup.parameters(), today());
  if (!query) return report(query.problem(), common.json);
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  geodesy::Grids grids;
  auto answer = lookup::setting(catalogue, grids, *query);
  if (!answer) return report(answer.problem(), common.json);
  if (common.json) {
    std::cout << to_json(*answer) << '\n';
    return kDone;
  }
  std::cout << "Declination " << to_line(answer->declination) << '\n' << to_text(*answer);
  print_warnings(answer->declination);
  return kDone;
}

}  // namespace

void add_declination(CLI::App& app, Common& common, int& exit) {
  auto lookup = std::make_shared<Lookup>();
  CLI::App* command = app.add_subcommand("declination", "The declination at a place on a date, with its uncertainty");
  add_place(*command, lookup->place, lookup->options);
  command->add_flag("--full", lookup->full, "every element of the field below the line");
  add_common(*command, common);
  command->footer(
      "Examples:\n"
      "  agonic declination 42.283 -71.35 --date 2028-07-04 --height 1000\n"
      "  agonic declination \"42°17'N 71°21'W\" --date 1850 --full\n"
      "  agonic declination 32N 461344 5481745 --date today --json");
  command->callback([lookup, &common, &exit] { exit = run_declination(*lookup, common); });
}

void add_setting(CLI::App& app, Common& common, int& exit) {
  auto lookup = std::make_shared<Lookup>();
  CLI::App* command =
      app.add_subcommand("setting", "What to set on the circle, which way to turn it, until when it holds");
  add_place(*command, lookup->place, lookup->options);
  const auto named = [&](const std::string& flag, const std::string& parameter, const std::string& help) {
    command->add_option_function<std::string>(
        flag, [lookup, parameter](const std::string& value) { lookup->options.values[parameter] = value; }, help);
  };
  named("--graduation", "graduation", "smallest division of the circle in degrees; 1 if not given");
  named("--circle", "circle", "azimuth (0 to 360), quadrant, or fixed if it cannot be turned");
  named("--until", "until", "last day of the trip: set for the middle of the declination's range");
  named("--east-turn", "east_turn",
        "clockwise (default, common practice) or counterclockwise, for an easterly declination");
  command->add_flag_callback(
      "--force-unusable", [lookup] { lookup->options.values["force_unusable"] = "yes"; },
      "answer even where a needle is unusable");
  add_common(*command, common);
  command->footer(
      "Examples:\n"
      "  agonic setting 42.283 -71.35 --date 2028-07-04 --graduation 1\n"
      "  agonic setting 64.1 -21.9 --date 2026-06-01 --until 2026-09-30 --graduation 0.5 --circle quadrant\n"
      "  agonic setting 47.5 9.5 --date today --circle fixed");
  command->callback([lookup, &common, &exit] { exit = run_setting(*lookup, common); });
}

}  // namespace agonic::cli
