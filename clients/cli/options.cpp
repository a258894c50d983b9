#include "clients/cli/options.hpp"

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <nlohmann/json.hpp>
#include <regex>
#include <stdexcept>

#include "model/units/date.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

void add_named(CLI::App& command, NamedOptions& options, const std::string& flag, const std::string& parameter,
               const std::string& help, const std::string& group = "Options") {
  command
      .add_option_function<std::string>(
          flag, [&options, parameter](const std::string& value) { options.values[parameter] = value; }, help)
      ->group(group);
}

void add_named_flag(CLI::App& command, NamedOptions& options, const std::string& flag, const std::string& parameter,
                    const std::string& help, const std::string& group = "Options") {
  command
      .add_flag_callback(
          flag, [&options, parameter] { options.values[parameter] = "yes"; }, help)
      ->group(group);
}

}  // namespace

Parameters NamedOptions::parameters() const {
  Parameters out;
  out.writer = Writer::person;
  for (const auto& [name, value] : values) out.values[name] = value;
  return out;
}

std::string as_options(const std::string& remedy) {
  static const std::regex flag("\\b(again|force_unusable)=yes\\b"), value("\\b([a-z]+(?:_[a-z]+)*)=([a-z][a-z0-9_]*)"),
      table("\\btable=day\\b"), order("\\b(date_order|free_stations)\\b");
  std::string out = std::regex_replace(remedy, table, "--table");
  out = std::regex_replace(out, flag, "--$1");
  out = std::regex_replace(out, value, "--$1 $2");
  out = std::regex_replace(out, order, "--$1");
  // Options have hyphens where parameters have underscores; their values keep theirs.
  bool option = false;
  for (std::size_t i = 0; i < out.size(); ++i) {
    if (out.compare(i, 2, "--") == 0) option = true;
    if (out[i] == ' ') option = false;
    if (option && out[i] == '_') out[i] = '-';
  }
  return out;
}

std::chrono::sys_days today() {
  const auto now = std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
  if (const char* fixed = std::getenv("AGONIC_TODAY")) {
    const auto date = parse_date(fixed, {now});
    if (!date) throw UsageFault("AGONIC_TODAY: " + date.problem().text());
    return date->day;
  }
  return now;
}

int exit_code(Code code) {
  switch (code) {
    case Code::needle_unusable:
      return kRowsRefused;
    case Code::coefficients_bad:
    case Code::overloaded:
    case Code::not_found:
    case Code::internal:
      return kFailed;
    default:
      return kWrongUse;
  }
}

int report(const Problem& problem, bool json) {
  if (json) {
    const nlohmann::ordered_json out{{"code", word(problem.code)},
                                     {"field", problem.field},
                                     {"value", problem.value},
                                     {"detail", problem.message},
                                     {"remedy", as_options(problem.remedy)}};
    std::cerr << out.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
  } else {
    Problem shown = problem;
    shown.value = printable(shown.value);
    shown.remedy = as_options(shown.remedy);
    std::cerr << "agonic: " << shown.text() << " [" << word(problem.code) << "]\n";
  }
  return exit_code(problem.code);
}

void report_failure(const std::string& what, bool json) {
  if (json)
    std::cerr << nlohmann::ordered_json{{"code", "failed"}, {"detail", what}}.dump(
                     -1, ' ', false, nlohmann::json::error_handler_t::replace)
              << '\n';
  else
    std::cerr << "agonic: " << what << '\n';
}

void add_common(CLI::App& command, Common& common) {
  command.add_flag("--json", common.json, "results and messages as JSON");
  command.add_option("--coefficients", common.coefficients, "folder with newer coefficient files")
      ->envname("AGONIC_COEFFICIENTS");
  command.add_option("--server", common.server, "send the work to this agonicd, as http://127.0.0.1:8080");
}

void add_registry_options(CLI::App& command, Common& common, RegistryOptions& options) {
  command.add_flag("--json", common.json, "results and messages as JSON");
  command.add_option("--server", common.server, "the agonicd that keeps the registry; else http://127.0.0.1:8080");
  command.add_option("--key-file", options.key_file, "file with the key; else $AGONIC_KEY, $AGONIC_KEY_FILE");
  command.add_flag("--plain-http", options.plain_http, "let the key go unencrypted to another machine");
}

void PlaceWords::put_into(Parameters& parameters) const {
  // Two plain angles are a latitude and a longitude; everything else (letters, zones) is one text.
  const auto angle = [](const std::string& word) {
    return word.find_first_not_of("+-.0123456789") == std::string::npos;
  };
  if (words.size() == 2 && angle(words[0]) && angle(words[1])) {
    parameters.values["lat"] = words[0];
    parameters.values["lon"] = words[1];
    return;
  }
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  if (!text.empty()) parameters.values["place"] = text;
}

void add_place(CLI::App& command, PlaceWords& place, NamedOptions& options) {
  command
      .add_option("place", place.words,
                  "latitude and longitude (42.283 -71.35), degrees and minutes (42°17'N 71°21'W), UTM or UPS (32N "
                  "461344 5481745), or MGRS")
      ->expected(1, 8)
      ->option_text("WORDS");
  add_named(command, options, "--date", "date", "2028-07-04, 2028-07 (mid-month), 2028 (mid-year), 2028.5, or today");
  add_named(command, options, "--height,--height-m", "height_m",
            "metres above the ellipsoid (sea level serves); 0 if not given");
  add_named(command, options, "--model", "model",
            "auto (default), wmm2025, wmmhr2025, wmm2020, igrf14, gufm1 or one that was added");
  add_named(command, options, "--crs", "crs", "grid for the convergence: utm (default), UTM 32N, EPSG:27700");
  add_named(command, options, "--letters", "letters",
            "language of letters (es, fr, it, pt, de, nl: is O west or east?); band or hemisphere for 18S");
  add_named(command, options, "--date-order", "date_order", "dmy, mdy or ymd: how 03/04/2005 is read");
}

void add_batch_options(CLI::App& command, NamedOptions& options) {
  const std::string defaults = "Defaults (each names a column: used where its cell is blank)";
  struct Option {
    const char* flag;
    const char* parameter;
    const char* help;
  };
  for (const Option& o :
       {Option{"--place", "place", "where all readings were taken"},
        Option{"--lat", "lat", "latitude"},
        Option{"--lon", "lon", "longitude"},
        Option{"--height-m", "height_m", "metres"},
        Option{"--date", "date", "when all readings were taken"},
        Option{"--kind", "kind", "direction, plane or line"},
        Option{"--azimuth-unit", "azimuth_unit", "deg, gon, mil6400, mil6300 or mil6000"},
        Option{"--vertical-unit", "vertical_unit", "deg, gon or percent"},
        Option{"--plane-convention", "plane_convention", "right_hand, left_hand, dip_direction or quadrant"},
        Option{"--north-reference", "north_reference", "circle (as read), magnetic, true, grid or unknown"},
        Option{"--set-declination", "set_declination", "what was set on the circle, as 13.7W; 0 = not set"},
        Option{"--applied-declination", "applied_declination", "what was added before (true rows)"},
        Option{"--applied-grid-magnetic", "applied_grid_magnetic", "G-M angle that was added before (grid rows)"},
        Option{"--crs", "crs", "grid of grid rows: utm, UTM 32N, EPSG:27700"},
        Option{"--target-crs", "target_crs", "grid of azimuth_grid"},
        Option{"--instrument", "instrument", "id of the instrument"},
        Option{"--azimuth-index-error", "azimuth_index_error",
               "reading minus truth, degrees, or five numbers A B C D E"},
        Option{"--vertical-index-error", "vertical_index_error", "reading minus truth, degrees"},
        Option{"--dip-index-error", "dip_index_error", "reading minus truth, degrees"},
        Option{"--graduation", "graduation", "smallest division, degrees"},
        Option{"--reading-sigma", "reading_sigma", "1-sigma of a reading, degrees"},
        Option{"--dip-sigma", "dip_sigma", "1-sigma of a dip, degrees"},
        Option{"--backsight", "backsight", "yes: all readings look back"},
        Option{"--site-declination", "site_declination", "declination observed there and then, as 13.7W"},
        Option{"--site-declination-sigma", "site_declination_sigma", "its 1-sigma"},
        Option{"--target-date", "target_date", "adds the needle's azimuth on this date"}})
    add_named(command, options, o.flag, o.parameter, o.help, defaults);
  add_named(command, options, "--model", "model", "auto (default), or one model for all rows");
  add_named(command, options, "--letters", "letters",
            "language of letters (es, fr, it, pt, de, nl); band or hemisphere for 18S");
  add_named(command, options, "--date-order", "date_order", "dmy, mdy or ymd: how 03/04/2005 is read");
  add_named(command, options, "--decimal", "decimal", "point or comma; else settled from the file's first 64 KiB");
  add_named(command, options, "--delimiter", "delimiter", "comma, semicolon or tab; else told from the header");
  add_named(command, options, "--datum", "datum", "wgs84: grid coordinates are known to be on it");
  add_named_flag(command, options, "--force-unusable", "force_unusable", "correct even where a needle is unusable");
  add_named_flag(command, options, "--again", "again",
                 "take a file that was corrected before: its corrections are undone first");
}

}  // namespace agonic::cli
