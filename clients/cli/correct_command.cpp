#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <functional>
#include <iostream>
#include <memory>
#include <optional>
#include <stdexcept>
#include <thread>
#include <utility>
#include <vector>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/output_file.hpp"
#include "clients/cli/progress.hpp"
#include "clients/cli/remote.hpp"
#include "clients/cli/whole_file.hpp"
#include "coefficients/folder.hpp"
#include "model/exchange/batch.hpp"
#include "model/exchange/gzip.hpp"
#include "model/exchange/thread_executor.hpp"
#include "model/instrument/dump.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

namespace fs = std::filesystem;

struct Correct {
  std::string input, output, type, to;
  NamedOptions options;
  std::size_t threads = 0;
  std::string instruments;
};

// The file, or standard input for "-".
class InputFile {
 public:
  explicit InputFile(const std::string& path) : path_(path) {
    file_ = path == "-" ? stdin : std::fopen(path.c_str(), "rb");
    if (file_ == nullptr) throw std::runtime_error(path + ": " + std::strerror(errno));
    std::error_code error;
    if (path != "-" && fs::is_directory(path, error)) throw std::runtime_error(path + ": is a folder");
    if (path != "-") size_ = fs::file_size(path, error);
    if (error) size_ = 0;
    ahead_ = read(2);
    compressed_ = exchange::looks_like_gzip(ahead_);
  }
  ~InputFile() {
    if (file_ != stdin && file_ != nullptr) std::fclose(file_);
  }
  InputFile(const InputFile&) = delete;
  InputFile& operator=(const InputFile&) = delete;
  [[nodiscard]] std::uint64_t size() const { return size_; }
  /// Bytes read so far.
  [[nodiscard]] std::uint64_t done() const { return done_; }
  [[nodiscard]] bool compressed() const { return compressed_; }
  /// The next piece as it stands in the file; empty at its end.
  std::string_view read() {
    if (!ahead_.empty()) return std::exchange(ahead_, {});
    return read(buffer_.size());
  }

  /// Every piece, inflated; stops where the receiver wants no more.
  void each(const std::function<bool(std::string_view)>& receiver) {
    std::optional<exchange::Inflater> inflater;
    if (compressed_) inflater.emplace();
    for (auto piece = read(); !piece.empty(); piece = read()) {
      using Outcome = exchange::Inflater::Outcome;
      const Outcome outcome = inflater          ? inflater->feed(piece, receiver)
                              : receiver(piece) ? Outcome::ok
                                                : Outcome::stopped;
      if (outcome == Outcome::stopped) return;
      if (outcome == Outcome::malformed) throw std::runtime_error(path_ + ": the gzip stream is damaged");
    }
    if (inflater && !inflater->at_end())
      throw std::runtime_error(path_ + ": the gzip stream is cut short; was the file copied in full?");
  }

 private:
  std::string_view read(std::size_t most) {
    const std::size_t count = std::fread(buffer_.data(), 1, most, file_);
    if (count == 0 && std::ferror(file_)) throw std::runtime_error(path_ + ": " + std::strerror(errno));
    done_ += count;
    return {buffer_.data(), count};
  }

  std::string path_;
  std::FILE* file_ = nullptr;
  std::uint64_t size_ = 0, done_ = 0;
  std::vector<char> buffer_ = std::vector<char>(256 * 1024);
  std::string_view ahead_;  // read to see what the file is
  bool compressed_ = false;
};

constexpr std::size_t kMostDumpBytes = 64 << 20;

bool is_gzip_name(const std::string& path) { return lower(fs::path(path).extension().string()) == ".gz"; }

// The name under a .gz.
std::string plain_name(const std::string& path) {
  return is_gzip_name(path) ? fs::path(path).replace_extension().string() : path;
}

std::optional<exchange::Format> format_of_path(const std::string& path) {
  const std::string ending = lower(fs::path(plain_name(path)).extension().string());
  if (ending == ".csv" || ending == ".tsv") return exchange::Format::csv;
  if (ending == ".ndjson" || ending == ".jsonl") return exchange::Format::ndjson;
  if (ending == ".json") return exchange::Format::json;
  if (ending == ".geojson") return exchange::Format::geojson;
  return std::nullopt;
}

Result<exchange::Format> format(const std::string& named, const std::string& path, std::string_view option) {
  if (named.empty()) {
    if (const auto told = format_of_path(path)) return *told;
    if (lower(fs::path(plain_name(path)).extension().string()) == ".txt") return exchange::Format::csv;
    return Problem{Code::unsupported_format, std::string(option), path, "the type cannot be told from the name",
                   "Say " + std::string(option) + " csv, json, ndjson or geojson"};
  }
  if (const auto told = exchange::format_of_name(named)) return *told;
  return Problem{Code::unsupported_format, std::string(option), named, "this type is not known",
                 "Give csv, json, ndjson or geojson"};
}

bool same_file(const std::string& a, const std::string& b) {
  std::error_code error;
  return fs::exists(b, error) && fs::equivalent(a, b, error);
}

int run(const Correct& correct, const Common& common) {
  exchange::BatchOptions options;
  auto in = format(correct.type, correct.input, "--type");
  if (!in) return report(in.problem(), common.json);
  options.in = options.out = *in;
  if (!correct.to.empty()) {
    auto out = format(correct.to, "", "--to");
    if (!out) return report(out.problem(), common.json);
    options.out = *out;
  } else if (const auto told = format_of_path(correct.output)) {
    options.out = *told;  // a file is what its ending says
  } else if (const std::string other = foreign_ending(plain_name(correct.output)); !other.empty()) {
    return report({Code::unsupported_format, "--output", correct.output, "no result is written as " + other,
                   "Call it .csv, .json, .ndjson or .geojson, or say --to csv to have CSV under this name"},
                  common.json);
  } else if (common.json && correct.output.empty() && *in == exchange::Format::csv) {
    options.out = exchange::Format::json;
  }
  if (correct.input != "-" && same_file(correct.input, correct.output))
    return report({Code::contradiction, "--output", correct.output, "it is the file that is read",
                   "Give the result a name of its own"},
                  common.json);
  options.gzip = is_gzip_name(correct.output);
  options.defaults = correct.options.parameters();
  options.today = today();

  // Told here also when a server does the work: there nobody knows that a person typed them.
  if (auto parsed = exchange::check_options(options)) return report(*parsed, common.json);

  if (!correct.instruments.empty()) {
    if (!common.server.empty())
      return report({Code::contradiction, "--instruments", correct.instruments,
                     "a server looks instruments up in its own registry", "Leave --instruments or --server out"},
                    common.json);
    auto registry = instrument::registry_of_dump(whole_file(correct.instruments, kMostDumpBytes));
    if (!registry) {
      registry.problem().field = correct.instruments + ": " + registry.problem().field;
      return report(registry.problem(), common.json);
    }
    options.instruments = *std::move(registry);
  }
  InputFile input(correct.input);
  OutputFile output(correct.output);
  Progress progress(input.size());
  if (!common.server.empty()) {
    const int code = remote_correct(
        common, options, input.compressed(),
        [&] {
          const auto piece = input.read();
          progress.at(input.done(), 0);
          return piece;
        },
        output);
    if (code <= kRowsRefused) output.commit();
    return code;
  }
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  const std::size_t threads =
      correct.threads > 0 ? correct.threads : std::max<std::size_t>(1, std::thread::hardware_concurrency());
  std::optional<exchange::ThreadExecutor> executor;
  if (threads > 1) options.executor = &executor.emplace(threads);
  auto batch = exchange::BatchCorrector::create(catalogue, options, output);
  if (!batch) return report(batch.problem(), common.json);
  std::optional<Problem> problem;
  input.each([&](std::string_view piece) {
    problem = (*batch)->feed(piece);
    progress.at(input.done(), (*batch)->rows());
    return !problem;
  });
  if (problem) return report(*problem, common.json);
  auto summary = (*batch)->finish();
  if (!summary) return report(summary.problem(), common.json);
  output.commit();
  std::cerr << (common.json ? to_json(*summary) : to_line(*summary)) << '\n';
  return summary->refused > 0 ? kRowsRefused : kDone;
}

}  // namespace

void add_correct(CLI::App& app, Common& common, int& exit) {
  auto correct = std::make_shared<Correct>();
  CLI::App* command = app.add_subcommand("correct", "A notebook of readings to true directions, row by row, in order");
  command->add_option("input", correct->input, "CSV, JSON, NDJSON or GeoJSON file; - reads standard input")->required();
  command->add_option("-o,--output", correct->output, "result; standard output if not given");
  command->add_option("--type", correct->type, "csv, json, ndjson or geojson; else told from the file's ending");
  command->add_option(
      "--to", correct->to,
      "type of the result; else told from the ending of --output, else as the input. csv to json or ndjson, json to "
      "ndjson and back, geojson to ndjson");
  command->add_option("--instruments", correct->instruments,
                      "JSON dump of a registry ('agonic instrument dump'): where the column instrument is looked up");
  command->add_option("--threads", correct->threads, "threads that work on the rows; all cores if not given")
      ->check(CLI::Range(1, 64));
  add_batch_options(*command, correct->options);
  add_common(*command, common);
  command->footer(
      "Needed columns: azimuth, date, and place or lat and lon; north_reference and, for readings off the circle,\n"
      "set_declination. README.md lists all of them and what is added. A row that cannot be corrected comes back with\n"
      "status refused and the reason; the others are done.\n"
      "Examples:\n"
      "  agonic correct notes.csv -o out.csv\n"
      "  agonic correct notes.csv --north-reference circle --set-declination 0 -o out.csv\n"
      "  agonic correct old.csv --north-reference true --applied-declination 10W -o new.csv\n"
      "  agonic correct notes.csv -o out.ndjson\n"
      "  agonic correct notes.csv.gz -o out.csv.gz   (gzip in is seen in the file itself)\n"
      "  agonic correct - --type ndjson < notes.ndjson\n"
      "Exit: 0 all done; 1 some rows refused (they are in the result, with the reason); 2 wrong options or missing "
      "columns;\n"
      "3 a file, the server or a model failed. Nothing is written to -o then.");
  command->callback([correct, &common, &exit] { exit = run(*correct, common); });
}

}  // namespace agonic::cli
