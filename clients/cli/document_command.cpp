// traverse, rotation and swing: one document in, one answer out.
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <iostream>
#include <memory>
#include <stdexcept>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/output_file.hpp"
#include "clients/cli/remote.hpp"
#include "clients/cli/whole_file.hpp"
#include "coefficients/folder.hpp"
#include "model/desk/desk.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

namespace fs = std::filesystem;

struct Document {
  desk::Job job = desk::Job::traverse;
  std::string path;  ///< of the service
  std::string input, output, type, to;
  std::string observatory;  ///< beside readings
  NamedOptions options;
};

std::optional<desk::Format> format_of_path(const std::string& path) {
  const std::string ending = lower(fs::path(path).extension().string());
  if (ending == ".csv" || ending == ".tsv") return desk::Format::csv;
  if (ending == ".json") return desk::Format::json;
  return std::nullopt;
}

// What the document is: as said, by its ending, or what the job takes by habit.
Result<desk::Format> format_in(const Document& document) {
  if (!document.type.empty()) {
    const auto told = desk::format_of_name(document.type);
    if (told && (document.job == desk::Job::swing || *told != desk::Format::text)) return *told;
    return Problem{Code::unsupported_format, "--type", document.type, "this type is not taken here",
                   document.job == desk::Job::swing ? "Give text, csv or json" : "Give csv or json"};
  }
  if (const auto told = format_of_path(document.input)) return *told;
  return document.job == desk::Job::swing ? desk::Format::text : desk::Format::csv;
}

Result<desk::Format> format_out(const Document& document, const Common& common) {
  if (!document.to.empty()) {
    if (const auto told = desk::format_of_name(document.to)) return *told;
    return Problem{Code::unsupported_format, "--to", document.to, "this type is not known", "Give text, csv or json"};
  }
  if (const auto told = format_of_path(document.output)) return *told;
  if (const std::string other = foreign_ending(document.output); !other.empty())
    return Problem{Code::unsupported_format, "--output", document.output, "no result is written as " + other,
                   "Call it .txt, .csv or .json, or say --to text to have the tables under this name"};
  return common.json ? desk::Format::json : desk::Format::text;
}

int run(const Document& document, const Common& common) {
  auto in = format_in(document);
  if (!in) return report(in.problem(), common.json);
  auto out = format_out(document, common);
  if (!out) return report(out.problem(), common.json);
  std::error_code error;
  if (!document.output.empty() && document.input != "-" && fs::exists(document.output, error) &&
      fs::equivalent(document.input, document.output, error))
    return report({Code::contradiction, "--output", document.output, "it is the file that is read",
                   "Give the result a name of its own"},
                  common.json);
  const std::string body = document.input.empty() ? std::string() : whole_file(document.input, desk::kMostBytes);
  desk::Request request{*in, *out, body, document.options.parameters(), today()};
  if (!document.observatory.empty()) {
    if (*in == desk::Format::text || !common.server.empty())
      return report({Code::contradiction, "--observatory", document.observatory,
                     *in == desk::Format::text ? "the file given is the observatory's itself"
                                               : "a server takes it in the same document as the readings",
                     *in == desk::Format::text ? "Give readings as CSV or JSON, or leave --observatory out"
                                               : "Send JSON with file and readings, or work here"},
                    common.json);
    request.parameters.values["file"] = whole_file(document.observatory, desk::kMostBytes);
  }
  Result<desk::Answer> answer = desk::Answer{};
  if (!common.server.empty()) {
    const int code = remote_document(common, document.path, request, *answer);
    if (code > kRowsRefused) return code;
  } else {
    const field::Catalogue catalogue(coefficient_texts(common.coefficients));
    geodesy::Grids grids;
    answer = desk::work(document.job, catalogue, grids, request);
    if (!answer) return report(answer.problem(), common.json);
  }
  OutputFile file(document.output);
  file.write(answer->body);
  if (*out == desk::Format::json) file.write("\n");
  file.commit();
  if (*out != desk::Format::text || !document.output.empty() || answer->refused > 0)
    std::cerr << (common.json || answer->summary_line.empty() ? answer->summary_json : answer->summary_line) << '\n';
  return answer->refused > 0 ? kRowsRefused : kDone;
}

struct Option {
  const char* flag;
  const char* parameter;
  const char* help;
};
constexpr Option kPlace[] = {
    {"--place", "place", "where"},
    {"--lat", "lat", "latitude"},
    {"--lon", "lon", "longitude"},
    {"--model", "model", "auto (default), or one model"},
    {"--letters", "letters", "language of letters (es, fr, it, pt, de, nl); band or hemisphere for 18S"},
    {"--date-order", "date_order", "dmy, mdy or ymd: how 03/04/2005 is read"},
    {"--decimal", "decimal", "point or comma; else told from the numbers"},
    {"--delimiter", "delimiter", "comma, semicolon or tab; else told from the header"},
};

CLI::App* add(CLI::App& app, Common& common, int& exit, const std::shared_ptr<Document>& document,
              const std::string& name, const std::string& what, const std::string& input,
              std::initializer_list<Option> options) {
  document->path = "/v1/" + name;
  CLI::App* command = app.add_subcommand(name, what);
  CLI::Option* file = command->add_option("input", document->input, input);
  if (document->job != desk::Job::swing) file->required();
  command->add_option("-o,--output", document->output, "result; standard output if not given");
  command->add_option("--type", document->type, "what the file is, where its ending does not say so");
  command->add_option("--to", document->to, "text (default), csv or json; else told from the ending of --output");
  const auto put = [&](const Option& o) {
    CLI::Option* option = command->add_option_function<std::string>(
        o.flag,
        [document, parameter = std::string(o.parameter)](const std::string& value) {
          document->options.values[parameter] = value.empty() ? "yes" : value;
        },
        o.help);
    if (std::string_view(o.parameter) == "force_unusable") option->expected(0, 1);  // alone it says yes
  };
  for (const Option& o : options) put(o);
  for (const Option& o : kPlace) put(o);
  add_common(*command, common);
  command->callback([document, &common, &exit] { exit = run(*document, common); });
  return command;
}

}  // namespace

void add_traverse(CLI::App& app, Common& common, int& exit) {
  auto document = std::make_shared<Document>();
  document->job = desk::Job::traverse;
  add(app, common, exit, document, "traverse",
      "Fore and back azimuths: local attraction by station, closure, coordinates",
      "CSV or JSON file; - reads standard input",
      {{"--tolerance", "tolerance_deg", "fore and back agree within this, degrees; else the division seen"},
       {"--free-stations", "free_stations", "stations known to be free of local attraction, as B,C"},
       {"--backs", "backs", "read (default), or reversed where 180 was taken off already"},
       {"--azimuth-unit", "azimuth_unit", "deg, gon, mil6400, mil6300 or mil6000"},
       {"--vertical-unit", "vertical_unit", "deg, gon or percent"},
       {"--reading-sigma", "reading_sigma", "1-sigma of an azimuth for least squares, degrees; 0.5 if not given"},
       {"--length-sigma-percent", "length_sigma_percent", "1-sigma of a length; 0.2 if not given"},
       {"--date", "date", "with a place: adds true and grid azimuths"},
       {"--height-m", "height_m", "metres"},
       {"--crs", "crs", "grid: utm (default), UTM 32N, EPSG:27700"},
       {"--set-declination", "set_declination", "what was set on the circle, as 13.7W; 0 = not set"},
       {"--azimuth-index-error", "azimuth_index_error", "reading minus truth, degrees"},
       {"--force-unusable", "force_unusable", "yes: work even where a needle is unusable"}})
      ->footer(
          "Columns: from, to, fore; back, length_m, vertical_angle where there are any. Azimuths in degrees or as\n"
          "N35E. Coordinates where there are lengths.\n"
          "Examples:\n"
          "  agonic traverse wood.csv\n"
          "  agonic traverse wood.csv --free-stations B,C --tolerance 0.5\n"
          "  agonic traverse wood.csv --lat 46.5 --lon 7.25 --date 2026-06-15 --set-declination 0 -o wood-true.csv");
}

void add_rotation(CLI::App& app, Common& common, int& exit) {
  auto document = std::make_shared<Document>();
  document->job = desk::Job::rotation;
  add(app, common, exit, document, "rotation", "Lines of an old survey found again: what it is turned by, and why",
      "CSV or JSON file; - reads standard input",
      {{"--found-reference", "found_reference", "what the found directions are from: true, grid or magnetic"},
       {"--found-declination", "found_declination", "of the needle when the lines were found, as 8.5E"},
       {"--found-date", "found_date", "or when that was: the model tells, with a place"},
       {"--date", "date", "of the old survey: compares with the model, with a place"},
       {"--azimuth-unit", "azimuth_unit", "deg, gon, mil6400, mil6300 or mil6000"},
       {"--height-m", "height_m", "metres"},
       {"--crs", "crs", "grid of grid directions: utm (default), UTM 32N, EPSG:27700"},
       {"--force-unusable", "force_unusable", "yes: work even where a needle is unusable"}})
      ->footer(
          "Columns: old and found; or, where a line was rerun by its old direction and missed the corner, offset\n"
          "(right positive) and length in one unit. A row without found is told where to look for its line.\n"
          "Examples:\n"
          "  agonic rotation lines.csv --found-reference true\n"
          "  agonic rotation lines.csv --found-reference magnetic --found-date 2026-05-02 --date 1874 --place \"42.3 "
          "-71.4\"");
}

void add_swing(CLI::App& app, Common& common, int& exit) {
  auto document = std::make_shared<Document>();
  document->job = desk::Job::swing;
  CLI::App* command = add(
      app, common, exit, document, "swing", "How far the needle stood off its quiet level when a reading was taken",
      "observatory's file in the IAGA-2002 format; or readings as CSV or JSON; none: a usual day by latitude",
      {{"--time", "time", "of the reading, UTC or with an offset, as 2026-06-15T09:40Z; several with commas between"}});
  command->add_option("--observatory", document->observatory, "the observatory's file, beside readings");
  command->footer(
      "Declination at the moment of a reading = declination of the model + departure (east positive).\n"
      "Examples:\n"
      "  agonic swing day.iaga --time 2026-06-15T09:40Z --lat 46.5 --lon 7.25\n"
      "  agonic swing day.iaga --time 2026-06-15T09:40Z,2026-06-15T13:05Z --to csv\n"
      "  agonic swing notes.csv --observatory day.iaga -o reduced.csv && agonic correct reduced.csv -o out.csv\n"
      "  agonic swing --lat 46.5 --lon 7.25");
}

}  // namespace agonic::cli
