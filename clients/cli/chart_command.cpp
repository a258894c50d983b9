#include <filesystem>
#include <iostream>
#include <memory>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/output_file.hpp"
#include "clients/cli/remote.hpp"
#include "coefficients/coastline/coastline.hpp"
#include "coefficients/folder.hpp"
#include "model/chart/document.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

struct ChartWords {
  NamedOptions options;
  std::string output, type;
};

// As said, by the file's ending, or GeoJSON.
Result<chart::Format> format_of(const ChartWords& words) {
  using chart::Format;
  if (!words.type.empty()) {
    if (const auto told = chart::format_of_name(words.type)) return *told;
    return Problem{Code::unsupported_format, "--type", words.type, "a chart is not written as this type",
                   "Give geojson, coveragejson, csv, svg or png"};
  }
  const std::string ending = lower(std::filesystem::path(words.output).extension().string());
  if (words.output.empty() || words.output == "-" || ending == ".json") return Format::geojson;
  if (!ending.empty())
    if (const auto told = chart::format_of_name(std::string_view(ending).substr(1))) return *told;
  return Problem{Code::unsupported_format, "--output", words.output, "the ending does not tell the type",
                 "End the name in .svg, .png, .geojson, .covjson or .csv, or give --type"};
}

int write(const ChartWords& words, chart::Format format, std::string_view bytes) {
  OutputFile file(words.output);
  file.write(bytes);
  if (format == chart::Format::geojson || format == chart::Format::coverage) file.write("\n");
  file.commit();
  return kDone;
}

int run(const ChartWords& words, const Common& common) {
  const auto format = format_of(words);
  if (!format) return report(format.problem(), common.json);
  const Parameters parameters = words.options.parameters();
  if (!common.server.empty()) {
    std::string bytes;
    const int code = remote_bytes(common, "/v1/chart", parameters, std::string(chart::media_type(*format)), bytes);
    return code == kDone ? write(words, *format, bytes) : code;
  }
  const auto query = chart::parse_query(parameters, today());
  if (!query) return report(query.problem(), common.json);
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  const auto drawn = chart::chart(catalogue, *query);
  if (!drawn) return report(drawn.problem(), common.json);
  const auto document = chart::document(*drawn, *format, coefficients::coastline_text());
  if (!document) return report(document.problem(), common.json);
  for (const std::string& note : drawn->notes) std::cerr << "note: " << note << '\n';
  return write(words, *format, *document);
}

}  // namespace

void add_chart(CLI::App& app, Common& common, int& exit) {
  auto words = std::make_shared<ChartWords>();
  CLI::App* command =
      app.add_subcommand("chart", "A map of the declination: isogonic lines, or a grid, for a box and date");
  const auto named = [&](const std::string& flag, const std::string& parameter, const std::string& help) {
    command->add_option_function<std::string>(
        flag, [words, parameter](const std::string& value) { words->options.values[parameter] = value; }, help);
  };
  named("--date", "date", "the day, month or year (2028-07-04, 2028-07, 1750), or today");
  named("--bbox", "bbox",
        "west,south,east,north in degrees; west above east goes across the antimeridian; else the world");
  named("--quantity", "quantity",
        "declination (default), declination_change, declination_sigma, declination_95, horizontal or inclination");
  named("--model", "model", "auto (default), or one model");
  named("--height,--height-m", "height_m", "metres above the ellipsoid; 0 if not given");
  named("--interval", "interval", "from line to line, in degrees, degrees a year or nT; else chosen for the box");
  named("--step", "step_deg", "of the grid, degrees; else chosen for the box");
  named("--zoom", "zoom", "0 to 14, instead of a step: that of map tiles of 256 pixels");
  named("--width", "width_px", "of a PNG, in pixels; 2000 if not given");
  named("--date-order", "date_order", "dmy, mdy or ymd: how 03/04/2005 is read");
  command->add_option("-o,--output", words->output, "file; its ending tells the type; else GeoJSON on standard output");
  command->add_option("--type", words->type, "svg, png, geojson, coveragejson or csv");
  add_common(*command, common);
  command->footer(
      "Lines of declination end at the magnetic poles, where all of them meet. Hatched: where a needle is weak or "
      "useless.\n"
      "Examples:\n"
      "  agonic chart --date 2026 -o world.svg\n"
      "  agonic chart --date 1600 --bbox -30,30,60,75 -o 1600.png\n"
      "  agonic chart --date today --bbox 160,-50,-170,-30 --interval 1 --type geojson\n"
      "  agonic chart --date 2026 --bbox -180,60,180,90 --quantity horizontal -o arctic.svg");
  command->callback([words, &common, &exit] { exit = run(*words, common); });
}

}  // namespace agonic::cli
