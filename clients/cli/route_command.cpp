// route: stops or a track in, the declination along the way and where to set the circle anew out.
#include <filesystem>
#include <iostream>
#include <memory>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/output_file.hpp"
#include "clients/cli/remote.hpp"
#include "clients/cli/whole_file.hpp"
#include "coefficients/folder.hpp"
#include "model/route/route.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

namespace fs = std::filesystem;

struct RouteWords {
  std::string input, output, type, to;
  NamedOptions options;
};

std::string ending_of(const std::string& path) {
  std::string ending = lower(fs::path(path).extension().string());
  if (!ending.empty()) ending.erase(0, 1);
  return ending == "tsv" ? "csv" : ending == "txt" ? "text" : ending;
}

Result<route::FormatIn> format_in(const RouteWords& words) {
  const std::string name = words.type.empty() ? ending_of(words.input) : words.type;
  if (const auto told = route::format_in_of_name(name)) return *told;
  if (words.type.empty() && name == "text") return route::FormatIn::csv;
  return Problem{Code::unsupported_format, "--type", words.type.empty() ? words.input : words.type,
                 words.type.empty() ? "its name does not say what it is" : "this type is not taken here",
                 "Give --type csv, json, geojson or gpx"};
}

Result<route::FormatOut> format_out(const RouteWords& words, const Common& common) {
  if (!words.to.empty()) {
    if (const auto told = route::format_out_of_name(words.to)) return *told;
    return Problem{Code::unsupported_format, "--to", words.to, "this type is not known", "Give text, csv, json or svg"};
  }
  if (const auto told = route::format_out_of_name(ending_of(words.output))) return *told;
  return common.json ? route::FormatOut::json : route::FormatOut::text;
}

int run(const RouteWords& words, const Common& common) {
  auto in = format_in(words);
  if (!in) return report(in.problem(), common.json);
  auto out = format_out(words, common);
  if (!out) return report(out.problem(), common.json);
  std::error_code error;
  if (!words.output.empty() && words.input != "-" && fs::exists(words.output, error) &&
      fs::equivalent(words.input, words.output, error))
    return report({Code::contradiction, "--output", words.output, "it is the file that is read",
                   "Give the result a name of its own"},
                  common.json);
  const std::string body = whole_file(words.input, route::kMostBytes);
  std::string result, summary_json, summary_line;
  bool refused = false;
  if (!common.server.empty()) {
    Parameters parameters = words.options.parameters();
    parameters.values["f"] = std::string(media_type(*out));
    RemoteAnswer answer;
    const int code = remote_work(common, "/v1/route", parameters, media_type(*in), body, answer);
    if (code > kRowsRefused) return code;
    result = std::move(answer.body);
    summary_json = std::move(answer.summary_json);
    summary_line = std::to_string(answer.rows) + " stops, " + std::to_string(answer.refused) + " refused";
    refused = answer.refused > 0;
  } else {
    const field::Catalogue catalogue(coefficient_texts(common.coefficients));
    auto answer = route::work(catalogue, {*in, *out, body, words.options.parameters(), today()});
    if (!answer) return report(answer.problem(), common.json);
    result = std::move(answer.value().body);
    summary_json = std::move(answer.value().summary_json);
    summary_line = std::move(answer.value().summary_line);
    refused = answer->refused > 0;
  }
  OutputFile file(words.output);
  file.write(result);
  if (*out == route::FormatOut::json) file.write("\n");
  file.commit();
  if (*out != route::FormatOut::text || !words.output.empty() || refused)
    std::cerr << (common.json ? summary_json : summary_line) << '\n';
  return refused ? kRowsRefused : kDone;
}

}  // namespace

void add_route(CLI::App& app, Common& common, int& exit) {
  auto words = std::make_shared<RouteWords>();
  CLI::App* command = app.add_subcommand(
      "route", "Stops or a track: the declination along the way, where to set the circle anew, one setting for all");
  command->add_option("input", words->input, "CSV, JSON, GeoJSON or GPX file; - reads standard input")->required();
  command->add_option("-o,--output", words->output, "result; standard output if not given");
  command->add_option("--type", words->type, "what the file is, where its ending does not say so");
  command->add_option("--to", words->to,
                      "text (default), csv, json or svg (profile); else told from the ending of --output");
  struct Option {
    const char* flag;
    const char* parameter;
    const char* help;
  };
  for (const Option& o :
       {Option{"--date", "date", "for stops that have none, as 2026-06-15 or today"},
        Option{"--height-m", "height_m", "metres, for stops that have none"},
        Option{"--tolerance", "tolerance", "what may be left over, degrees; half a graduation if not given"},
        Option{"--graduation", "graduation", "smallest division of the circle in degrees; 1 if not given"},
        Option{"--circle", "circle", "azimuth (0 to 360), quadrant, or fixed if it cannot be turned"},
        Option{"--east-turn", "east_turn", "clockwise (default, common practice) or counterclockwise"},
        Option{"--gpx-part", "gpx_part", "waypoints, route or track, where a GPX file holds several"},
        Option{"--model", "model", "auto (default), or one model"},
        Option{"--letters", "letters", "language of letters (es, fr, it, pt, de, nl); band or hemisphere for 18S"},
        Option{"--date-order", "date_order", "dmy, mdy or ymd: how 03/04/2005 is read"},
        Option{"--decimal", "decimal", "point or comma; else told from the numbers"},
        Option{"--delimiter", "delimiter", "comma, semicolon or tab; else told from the header"}})
    command->add_option_function<std::string>(
        o.flag,
        [words, parameter = std::string(o.parameter)](const std::string& value) {
          words->options.values[parameter] = value;
        },
        o.help);
  for (const Option& o :
       {Option{"--legs", "legs", "look along the lines between the stops as well (geodesics)"},
        Option{"--force-unusable", "force_unusable", "give settings even where a needle is unusable"}})
    command->add_flag_callback(
        o.flag, [words, parameter = std::string(o.parameter)] { words->options.values[parameter] = "yes"; }, o.help);
  add_common(*command, common);
  command->footer(
      "Columns: place, or lat and lon; date; id or name, height_m where there are any. All others pass through.\n"
      "Examples:\n"
      "  agonic route stops.csv --legs\n"
      "  agonic route track.gpx --legs --graduation 2 --tolerance 1.5\n"
      "  agonic route stops.geojson --date 2026-07-15 -o profile.svg\n"
      "Exit: 0 done; 1 some stops refused; 2 wrong options, missing columns; 3 files, server or models failed.");
  command->callback([words, &common, &exit] { exit = run(*words, common); });
}

}  // namespace agonic::cli
