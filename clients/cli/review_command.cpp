// review: a whole data set looked at; questions for its owner.
#include <filesystem>
#include <iostream>
#include <memory>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/output_file.hpp"
#include "clients/cli/remote.hpp"
#include "clients/cli/whole_file.hpp"
#include "coefficients/folder.hpp"
#include "model/exchange/gzip.hpp"
#include "model/instrument/dump.hpp"
#include "model/review/reviewer.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

namespace fs = std::filesystem;
using review::Format;

struct Review {
  std::string input, type, html, instruments;
  NamedOptions options;
};

constexpr std::size_t kMostDumpBytes = 64 << 20;

Result<exchange::Format> format_of(const Review& review) {
  if (!review.type.empty()) {
    if (const auto told = exchange::format_of_name(review.type)) return *told;
    return Problem{Code::unsupported_format, "--type", review.type, "this type is not known",
                   "Give csv, json, ndjson or geojson"};
  }
  fs::path path(review.input);
  if (lower(path.extension().string()) == ".gz") path.replace_extension();
  const std::string ending = lower(path.extension().string());
  if (ending == ".csv" || ending == ".tsv" || ending == ".txt") return exchange::Format::csv;
  if (ending == ".ndjson" || ending == ".jsonl") return exchange::Format::ndjson;
  if (ending == ".json") return exchange::Format::json;
  if (ending == ".geojson") return exchange::Format::geojson;
  return Problem{Code::unsupported_format, "--type", review.input, "the type cannot be told from the name",
                 "Say --type csv, json, ndjson or geojson"};
}

// The bytes as they are to be read: a gzip stream is seen in the file itself.
std::string inflated(const std::string& path, std::string bytes) {
  if (!exchange::looks_like_gzip(bytes)) return bytes;
  std::string out;
  exchange::Inflater inflater;
  const auto outcome = inflater.feed(bytes, [&](std::string_view piece) {
    out.append(piece);
    return out.size() <= review::kMostBytes;
  });
  if (outcome == exchange::Inflater::Outcome::malformed ||
      (outcome != exchange::Inflater::Outcome::stopped && !inflater.at_end()))
    throw std::runtime_error(path + ": the gzip stream is damaged or cut short");
  return out;
}

int put_html(const Review& review, const std::string& html) {
  OutputFile file(review.html);
  file.write(html);
  file.commit();
  return kDone;
}

int run(const Review& review, const Common& common) {
  const auto in = format_of(review);
  if (!in) return report(in.problem(), common.json);
  std::error_code error;
  if (!review.html.empty() && review.input != "-" && fs::exists(review.html, error) &&
      fs::equivalent(review.input, review.html, error))
    return report({Code::contradiction, "--html", review.html, "it is the file that is read",
                   "Give the report a name of its own"},
                  common.json);
  exchange::BatchOptions options;
  options.in = *in;
  options.defaults = review.options.parameters();
  options.today = today();
  {
    exchange::BatchOptions checked = options;
    checked.defaults.values.erase("group_by");
    if (auto problem = exchange::check_options(checked)) return report(*problem, common.json);
  }
  if (!review.instruments.empty()) {
    if (!common.server.empty())
      return report({Code::contradiction, "--instruments", review.instruments,
                     "a server looks instruments up in its own registry", "Leave --instruments or --server out"},
                    common.json);
    auto registry = instrument::registry_of_dump(whole_file(review.instruments, kMostDumpBytes));
    if (!registry) {
      registry.problem().field = review.instruments + ": " + registry.problem().field;
      return report(registry.problem(), common.json);
    }
    options.instruments = *std::move(registry);
  }
  const std::string text = inflated(review.input, whole_file(review.input, review::kMostBytes));
  const Format shown = common.json ? Format::json : Format::text;
  std::string body, html;
  std::uint64_t refused = 0;
  if (!common.server.empty()) {
    const int code = remote_review(common, options, text, shown, body, refused);
    if (code > kRowsRefused) return code;
    if (!review.html.empty()) {
      const int again = remote_review(common, options, text, Format::html, html, refused);
      if (again > kRowsRefused) return again;
    }
  } else {
    const field::Catalogue catalogue(coefficient_texts(common.coefficients));
    auto reviewer = review::Reviewer::create(catalogue, options);
    if (!reviewer) return report(reviewer.problem(), common.json);
    if (auto problem = (*reviewer)->feed(text)) return report(*problem, common.json);
    const auto made = (*reviewer)->finish();
    if (!made) return report(made.problem(), common.json);
    body = write(*made, shown);
    if (!review.html.empty()) html = write(*made, Format::html);
    refused = made->notebook.refused;
  }
  if (!review.html.empty()) put_html(review, html);
  std::cout << body << (common.json ? "\n" : "");
  return refused > 0 ? kRowsRefused : kDone;
}

}  // namespace

void add_review(CLI::App& app, Common& common, int& exit) {
  auto review = std::make_shared<Review>();
  CLI::App* command =
      app.add_subcommand("review", "A whole data set looked at: groups that do not agree, and what to ask its owner");
  command->add_option("input", review->input, "CSV, JSON, NDJSON or GeoJSON file; - reads standard input")->required();
  command->add_option("--html", review->html, "also writes the report with its plots to this file");
  command->add_option("--type", review->type, "csv, json, ndjson or geojson; else told from the file's ending");
  command->add_option_function<std::string>(
      "--group-by", [review](const std::string& value) { review->options.values["group_by"] = value; },
      "a column of the file's own by which rows are grouped as well");
  command->add_option("--instruments", review->instruments,
                      "JSON dump of a registry ('agonic instrument dump'): where the column instrument is looked up");
  add_batch_options(*command, review->options);
  add_common(*command, common);
  command->footer(
      "Reads a file as 'agonic correct' does and changes nothing. Columns of the file's own are used where they are "
      "there:\n"
      "observer, sheet, instrument (or compass); line, structure, station or id say what was read more than once.\n"
      "Examples:\n"
      "  agonic review notes.csv\n"
      "  agonic review notes.csv --html review.html\n"
      "  agonic review old.csv --north-reference true --group-by geologist --json\n"
      "At most 200000 rows and 64 MiB. Exit: 0 done; 1 some rows could not be corrected (the report says why);\n"
      "2 wrong options or missing columns; 3 a file, the server or a model failed.");
  command->callback([review, &common, &exit] { exit = run(*review, common); });
}

}  // namespace agonic::cli
