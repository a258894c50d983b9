// card: one page to print, for a place and a period or for a route.
#include <filesystem>
#include <iostream>
#include <memory>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/output_file.hpp"
#include "clients/cli/remote.hpp"
#include "clients/cli/whole_file.hpp"
#include "coefficients/folder.hpp"
#include "model/card/print.hpp"
#include "model/instrument/dump.hpp"
#include "model/route/card.hpp"
#include "model/units/json_out.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostDumpBytes = std::size_t{64} << 20;

struct CardWords {
  PlaceWords place;
  NamedOptions options;
  std::string route, type, output, to, instruments;
};

std::string ending_of(const std::string& path) {
  std::string ending = lower(fs::path(path).extension().string());
  if (!ending.empty()) ending.erase(0, 1);
  return ending == "htm" ? "html" : ending;
}

Result<card::Format> format_of(const CardWords& words) {
  const std::string name = !words.to.empty() ? words.to : ending_of(words.output);
  if (name.empty()) return card::Format::html;
  if (const auto told = card::format_of_name(name)) return *told;
  return Problem{Code::unsupported_format, words.to.empty() ? "--output" : "--to",
                 words.to.empty() ? words.output : words.to, "a card is html, pdf or png",
                 "End the name in .html, .pdf or .png, or say --to"};
}

Result<route::FormatIn> route_format(const CardWords& words) {
  const std::string name = words.type.empty() ? ending_of(words.route) : words.type;
  if (const auto told = route::format_in_of_name(name)) return *told;
  return Problem{Code::unsupported_format, "--type", words.type.empty() ? words.route : words.type,
                 "a route comes as csv, json, geojson or gpx", "Say which with --type"};
}

// The parameters as one flat JSON object: so the place stands in no URL.
std::string json_of(const Parameters& parameters) {
  Text text;
  JsonObject out(text);
  for (const auto& [name, value] : parameters.values) out.add(name, std::string_view(value));
  out.end();
  return std::string(text.view());
}

int write(const CardWords& words, const std::string& bytes) {
  OutputFile file(words.output);
  file.write(bytes);
  file.commit();
  return kDone;
}

int run(const CardWords& words, const Common& common) {
  const auto format = format_of(words);
  if (!format) return report(format.problem(), common.json);
  Parameters parameters = words.options.parameters();
  std::optional<route::FormatIn> in;
  std::string body;
  if (!words.route.empty()) {
    if (!words.place.words.empty())
      return report(
          {Code::contradiction, "--route", words.route, "a place and a route are both given", "Give one of them"},
          common.json);
    const auto told = route_format(words);
    if (!told) return report(told.problem(), common.json);
    in = *told;
    body = whole_file(words.route, route::kMostBytes);
  } else {
    words.place.put_into(parameters);
  }
  if (!common.server.empty()) {
    if (!words.instruments.empty())
      return report({Code::contradiction, "--instruments", words.instruments,
                     "a server looks instruments up in its own registry", "Leave --instruments or --server out"},
                    common.json);
    RemoteAnswer answer;
    const std::string kind(media_type(*format));
    int code = kDone;
    if (in) {
      parameters.values["f"] = kind;
      code = remote_work(common, "/v1/card", parameters, media_type(*in), body, answer);
    } else {
      Parameters query;
      query.values["f"] = kind;
      code = remote_work(common, "/v1/card", query, "application/json", json_of(parameters), answer);
    }
    return code == kDone ? write(words, answer.body) : code;
  }
  std::shared_ptr<const instrument::Registry> registry;
  if (!words.instruments.empty()) {
    auto read = instrument::registry_of_dump(whole_file(words.instruments, kMostDumpBytes));
    if (!read) {
      read.problem().field = words.instruments + ": " + read.problem().field;
      return report(read.problem(), common.json);
    }
    registry = *std::move(read);
  } else if (parameters.get("instrument")) {
    return report({Code::missing_value,
                   "--instruments",
                   {},
                   "where the records of instruments are is not said",
                   "Give a dump with --instruments, or a server with --server"},
                  common.json);
  }
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  geodesy::Grids grids;
  const auto sheet =
      in ? route::card_of(catalogue, grids, {*in, route::FormatOut::json, body, parameters, today()}, registry.get())
         : card::gather(catalogue, grids, parameters, registry.get(), today());
  if (!sheet) return report(sheet.problem(), common.json);
  const auto page = card::print(*sheet, *format);
  if (!page) return report(page.problem(), common.json);
  return write(words, *page);
}

}  // namespace

void add_card(CLI::App& app, Common& common, int& exit) {
  auto words = std::make_shared<CardWords>();
  CLI::App* command = app.add_subcommand("card", "One page to print and fold: what to set, tables, cautions, blanks");
  add_place(*command, words->place, words->options);
  struct Option {
    const char* flag;
    const char* parameter;
    const char* help;
  };
  for (const Option& o :
       {Option{"--until", "until", "last day of the trip: set for the middle of the declination's range"},
        Option{"--name", "name", "of the place or route, as it is to stand on the card"},
        Option{"--graduation", "graduation", "smallest division of the circle in degrees; 1 if not given"},
        Option{"--circle", "circle", "azimuth (0 to 360), quadrant, or fixed if it cannot be turned"},
        Option{"--east-turn", "east_turn", "clockwise (default, common practice) or counterclockwise"},
        Option{"--instrument", "instrument", "id of an instrument: its index errors of that day are printed"},
        Option{"--tolerance", "tolerance", "of a route: what may be left over, degrees"},
        Option{"--gpx-part", "gpx_part", "waypoints, route or track, where a GPX file holds several"}})
    command->add_option_function<std::string>(
        o.flag,
        [words, parameter = std::string(o.parameter)](const std::string& value) {
          words->options.values[parameter] = value;
        },
        o.help);
  command->add_flag_callback(
      "--legs", [words] { words->options.values["legs"] = "yes"; },
      "of a route: look along the lines between the stops");
  command->add_flag_callback(
      "--force-unusable", [words] { words->options.values["force_unusable"] = "yes"; },
      "answer even where a needle is unusable");
  command->add_option("--route", words->route, "stops as CSV, JSON, GeoJSON or GPX, in place of a place");
  command->add_option("--type", words->type, "what the route's file is, where its ending does not say so");
  command->add_option("--instruments", words->instruments, "dump of a registry, for --instrument without a server");
  command->add_option("-o,--output", words->output,
                      "card.pdf, card.html or card.png; standard output (HTML) if not given");
  command->add_option("--to", words->to, "html, pdf or png, where the ending of --output does not say so");
  add_common(*command, common);
  command->footer(
      "Examples:\n"
      "  agonic card 42.283 -71.35 --date 2028-07-04 --name \"North ridge\" -o card.pdf\n"
      "  agonic card 64.1 -21.9 --date 2026-06-01 --until 2026-09-30 --graduation 0.5 -o card.html\n"
      "  agonic card --route stops.csv --legs -o route.pdf");
  command->callback([words, &common, &exit] { exit = run(*words, common); });
}

}  // namespace agonic::cli
