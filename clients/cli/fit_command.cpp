#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <iostream>
#include <memory>
#include <stdexcept>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/remote.hpp"
#include "clients/cli/whole_file.hpp"
#include "coefficients/folder.hpp"
#include "model/sightings/report.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

struct Fit {
  std::string input, type;
  NamedOptions options;
  bool all = false;
  std::string store, why, key_file;
};

Result<bool> is_json(const Fit& fit) {
  std::string word = lower(fit.type);
  if (word.empty()) {
    word = lower(std::filesystem::path(fit.input).extension().string());
    if (!word.empty()) word.erase(0, 1);
    if (word == "txt" || word == "tsv") word = "csv";
  }
  if (word == "json") return true;
  if (word == "csv") return false;
  return Problem{Code::unsupported_format, "--type", fit.type.empty() ? fit.input : fit.type,
                 "sightings come as csv or json", "Say --type csv or --type json"};
}

int run(const Fit& fit, const Common& common) {
  auto json = is_json(fit);
  if (!json) return report(json.problem(), common.json);
  Parameters parameters = fit.options.parameters();
  const std::string text = whole_file(fit.input, sightings::kMostBytes);
  if (text.size() > sightings::kMostBytes)
    return report({Code::too_large, fit.input, "", "a file of sightings has at most 8 MiB",
                   "Fit one instrument or one season at a time"},
                  common.json);
  const auto rules = sightings::parse_rules(parameters, today());
  if (!rules) return report(rules.problem(), common.json);
  // Told here also when a server does the work: there nobody knows that a person typed them.
  if (const auto problem = sightings::check_defaults(*rules)) return report(*problem, common.json);
  if (!fit.store.empty() && common.server.empty())
    return report({Code::missing_value, "--store", fit.store, "records of instruments are kept by an agonicd",
                   "Say where with --server, as --server http://127.0.0.1:8080"},
                  common.json);
  if (!common.server.empty()) {
    if (!fit.store.empty()) parameters.values["store"] = fit.store;
    if (!fit.why.empty()) parameters.values["why"] = fit.why;
    return remote_fit(common, RegistryOptions{fit.key_file, false}, parameters, *json ? "application/json" : "text/csv",
                      text, fit.all);
  }
  const auto rows = *json ? sightings::read_json(text, parameters) : sightings::read_csv(text, parameters);
  if (!rows) return report(rows.problem(), common.json);
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  geodesy::Grids grids;
  const auto result = sightings::fit(catalogue, grids, *rows, parameters, today());
  if (!result) return report(result.problem(), common.json);
  if (common.json)
    std::cout << to_json(*result) << '\n';
  else
    std::cout << to_text(*result, fit.all);
  if (!common.json)
    for (const std::string& caution : cautions(*result)) std::cerr << "note: " << caution << '\n';
  return result->refused > 0 ? kRowsRefused : kDone;
}

}  // namespace

void add_fit(CLI::App& app, Common& common, int& exit) {
  auto fit = std::make_shared<Fit>();
  CLI::App* command =
      app.add_subcommand("fit", "What an instrument reads wrong, found from sightings of known directions");
  command->add_option("input", fit->input, "CSV or JSON file; - reads standard input")->required();
  command->add_option("--type", fit->type, "csv or json; else told from the file's ending");
  command->add_flag("--all", fit->all, "every sighting with its residual, not only those to look at");
  command->add_option("--store", fit->store,
                      "keep the result as a new version of this instrument's record (with --server)");
  command->add_option("--why", fit->why, "reason to be recorded with it");
  command->add_option("--key-file", fit->key_file,
                      "file with the key to the registry; else AGONIC_KEY, AGONIC_KEY_FILE");
  const std::string defaults = "Defaults (each names a column: used where its cell is blank)";
  const auto named = [&](const std::string& flag, const std::string& parameter, const std::string& help,
                         const std::string& group) {
    command
        ->add_option_function<std::string>(
            flag, [fit, parameter](const std::string& value) { fit->options.values[parameter] = value; }, help)
        ->group(group);
  };
  struct Option {
    const char* flag;
    const char* parameter;
    const char* help;
  };
  for (const Option& o :
       {Option{"--instrument", "instrument", "name of the instrument"},
        Option{"--observer", "observer", "who read it"},
        Option{"--line", "line", "name of the line sighted"},
        Option{"--target", "target", "line, sun, or shadow (of a plumb line: away from the sun)"},
        Option{"--place", "place", "where all sightings were taken"},
        Option{"--lat", "lat", "latitude"},
        Option{"--lon", "lon", "longitude"},
        Option{"--height-m", "height_m", "metres"},
        Option{"--date", "date", "when all sightings were taken"},
        Option{"--time-sigma", "time_sigma", "1-sigma of the clock, seconds"},
        Option{"--azimuth-unit", "azimuth_unit", "deg, gon, mil6400, mil6300 or mil6000"},
        Option{"--north-reference", "north_reference", "circle (as read), or magnetic if nothing can be set"},
        Option{"--set-declination", "set_declination", "what was set on the circle, as 13.7W; 0 = not set"},
        Option{"--backsight", "backsight", "yes: the known line was looked along the other way"},
        Option{"--known-azimuth", "known_azimuth", "the line's azimuth"},
        Option{"--known-north", "known_north", "true or grid: from where it counts"},
        Option{"--known-sigma", "known_sigma", "its 1-sigma, degrees"},
        Option{"--crs", "crs", "grid of known_azimuth: UTM 32N, EPSG:27700"},
        Option{"--site-declination", "site_declination", "declination observed there and then, as 13.7W"},
        Option{"--site-declination-sigma", "site_declination_sigma", "its 1-sigma, degrees"},
        Option{"--graduation", "graduation", "smallest division, degrees"},
        Option{"--reading-sigma", "reading_sigma", "1-sigma of a reading, degrees"},
        Option{"--vertical-sigma", "vertical_sigma", "1-sigma of a vertical angle, degrees"},
        Option{"--dip-sigma", "dip_sigma", "1-sigma of a dip, degrees"}})
    named(o.flag, o.parameter, o.help, defaults);
  named("--model", "model", "auto (default), or one model for all rows", "Options");
  named("--letters", "letters", "language of letters, as for declination", "Options");
  named("--date-order", "date_order", "dmy, mdy or ymd: how 03/04/2005 is read", "Options");
  named("--decimal", "decimal", "point or comma; else told from the cells", "Options");
  named("--delimiter", "delimiter", "comma, semicolon or tab; else told from the header", "Options");
  add_common(*command, common);
  command->footer(
      "A row is a sighting: azimuth and set_declination with place and date, and what is known of the direction:\n"
      "known_azimuth with known_north, or target=sun (shadow) with time; or vertical_fore and vertical_back, or dip "
      "and\n"
      "dip_reversed. Several instruments that sighted the same line (its name in line) are compared. README.md has "
      "all\n"
      "columns. Sightings all round the circle show a curve; mistakes are named and left out.\n"
      "Examples:\n"
      "  agonic fit sightings.csv\n"
      "  agonic fit sightings.csv --all --place \"46.5 7.25\" --date 2026-06-01 --set-declination 0 --known-north "
      "true\n"
      "  agonic fit sightings.json --json\n"
      "Exit: 0 done; 1 some rows refused; 2 wrong options or file; 3 files, server or models failed.");
  command->callback([fit, &common, &exit] { exit = run(*fit, common); });
}

}  // namespace agonic::cli
