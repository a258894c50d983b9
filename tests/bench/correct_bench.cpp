// Correcting CSV: the whole of it, checks, uncertainty and remarks included, against two peers in the same process.
//
//   Nlohmann   parses the same rows as NDJSON with nlohmann::json and does nothing with them
//   plain      splits, reads seven numbers a row with std::from_chars and prints seven with std::to_chars: no
//   correction
//
// Rows are invented: a notebook of planes, lines and directions (13 columns, several readings a station, stations a few
// metres to kilometres apart, some days apart), and bare directions with a place and date of their own each.
#include <benchmark/benchmark.h>

#include <array>
#include <charconv>
#include <nlohmann/json.hpp>

#include "model/exchange/thread_executor.hpp"
#include "tests/bench/notebooks.hpp"

namespace agonic::bench {
namespace {

struct Counted final : exchange::ByteSink {
  void write(std::string_view part) override { bytes += part.size(); }
  std::size_t bytes = 0;
};

void correct(benchmark::State& state, const Notebook& notebook, exchange::Format format, std::size_t threads,
             bool gzip = false) {
  exchange::ThreadExecutor executor(std::max<std::size_t>(threads, 1));
  const std::string& text = format == exchange::Format::csv ? notebook.csv : notebook.ndjson;
  for (auto _ : state) {
    Counted sink;
    auto options = notebook_options(format, threads > 1 ? &executor : nullptr);
    options.gzip = gzip;
    auto batch = exchange::BatchCorrector::create(catalogue(), std::move(options), sink);
    if (!batch) return state.SkipWithError(batch.problem().text().c_str());
    for (std::size_t at = 0; at < text.size(); at += 1 << 16)
      if (auto problem = batch.value()->feed(std::string_view(text).substr(at, 1 << 16)))
        return state.SkipWithError(problem->text().c_str());
    auto summary = batch.value()->finish();
    if (!summary || summary->corrected != notebook.rows) return state.SkipWithError("rows were refused");
    benchmark::DoNotOptimize(sink.bytes);
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(notebook.rows));
}

void parse_alone(benchmark::State& state, const Notebook& notebook) {
  for (auto _ : state) {
    const std::string& text = notebook.ndjson;
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t end = text.find('\n', at);
      benchmark::DoNotOptimize(nlohmann::json::parse(text.begin() + static_cast<std::ptrdiff_t>(at),
                                                     text.begin() + static_cast<std::ptrdiff_t>(end)));
      at = end + 1;
    }
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(notebook.rows));
}

void plain(benchmark::State& state, const Notebook& notebook) {
  for (auto _ : state) {
    const std::string& text = notebook.csv;
    std::string out;
    for (std::size_t at = text.find('\n') + 1; at < text.size();) {
      const std::size_t end = text.find('\n', at);
      std::array<double, 7> numbers{};
      std::size_t count = 0;
      for (std::size_t cell = at; cell < end && count < numbers.size();) {
        const std::size_t comma = std::min(text.find(',', cell), end);
        const auto read = std::from_chars(text.data() + cell, text.data() + comma, numbers[count]);
        if (read.ec == std::errc()) ++count;
        cell = comma + 1;
      }
      out.append(text, at, end - at);
      for (double number : numbers) {
        std::array<char, 32> digits;
        const auto printed =
            std::to_chars(digits.data(), digits.data() + digits.size(), number, std::chars_format::fixed, 3);
        out += ',';
        out.append(digits.data(), printed.ptr);
      }
      out += '\n';
      at = end + 1;
      if (out.size() > 1 << 16) out.clear();
    }
    benchmark::DoNotOptimize(out);
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(notebook.rows));
}

void add(const char* name, const Notebook& notebook) {
  const std::string what = name;
  const auto reg = [](const std::string& full, auto run) {
    benchmark::RegisterBenchmark(full.c_str(), run)->UseRealTime()->Unit(benchmark::kMillisecond);
  };
  for (const auto& [format, word] :
       {std::pair(exchange::Format::csv, "csv/"), std::pair(exchange::Format::ndjson, "ndjson/")}) {
    reg(word + what + "/Nlohmann", [&](benchmark::State& state) { parse_alone(state, notebook); });
    reg(word + what + "/agonic", [&, f = format](benchmark::State& state) { correct(state, notebook, f, 1); });
    reg(word + what + "/agonic2", [&, f = format](benchmark::State& state) { correct(state, notebook, f, 2); });
  }
  reg("csv/" + what + "/agonic_gzip",
      [&](benchmark::State& state) { correct(state, notebook, exchange::Format::csv, 1, true); });
  reg("csv/" + what + "/plain", [&](benchmark::State& state) { plain(state, notebook); });
}

}  // namespace
}  // namespace agonic::bench

int main(int argc, char** argv) {
  const auto notes = agonic::bench::notebook(20'000);
  const auto bare = agonic::bench::bare_directions(20'000);
  agonic::bench::add("notebook", notes);
  agonic::bench::add("bare", bare);
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 1;
  benchmark::RunSpecifiedBenchmarks();
}
