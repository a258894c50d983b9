#include "model/exchange/batch.hpp"

#include "model/exchange/csv_batch.hpp"
#include "model/exchange/json_batch.hpp"
#include "model/exchange/ndjson_batch.hpp"
#include "model/exchange/watch.hpp"
#include "model/units/number.hpp"

namespace agonic::exchange {

std::optional<Format> format_of_name(std::string_view name) {
  const std::string word = lower(trim(name.substr(0, name.find(';'))));
  if (word == "csv" || word == "text/csv") return Format::csv;
  if (word == "json" || word == "application/json") return Format::json;
  if (word == "ndjson" || word == "application/x-ndjson") return Format::ndjson;
  if (word == "geojson" || word == "application/geo+json") return Format::geojson;
  return std::nullopt;
}

std::string_view media_type(Format format) noexcept {
  switch (format) {
    case Format::csv:
      return "text/csv";
    case Format::json:
      return "application/json";
    case Format::ndjson:
      return "application/x-ndjson";
    case Format::geojson:
      return "application/geo+json";
  }
  return "text/csv";
}

std::optional<Problem> check_options(const BatchOptions& options) {
  const auto parsed = parse_options(options.defaults, options.today);
  return parsed ? std::nullopt : std::optional(parsed.problem());
}

namespace {

Result<std::unique_ptr<BatchCorrector>> make(const field::Catalogue& catalogue, Options options, BatchOptions batch,
                                             Work work) {
  options.rules.instruments = std::move(batch.instruments);
  if (auto problem = check_model(options, catalogue)) return *problem;
  std::unique_ptr<BatchCorrector> corrector;
  switch (batch.in) {
    case Format::csv:
      corrector = std::make_unique<CsvBatch>(catalogue, std::move(options), batch.out, work);
      break;
    case Format::ndjson:
      corrector = std::make_unique<NdjsonBatch>(catalogue, std::move(options), batch.out, work);
      break;
    case Format::json:
    case Format::geojson:
      corrector = std::make_unique<JsonBatch>(catalogue, std::move(options), std::move(batch.defaults), batch.in,
                                              batch.out, work);
      break;
  }
  return corrector;
}

class NowhereSink final : public ByteSink {
 public:
  void write(std::string_view) override {}
};

}  // namespace

Result<std::unique_ptr<BatchCorrector>> BatchCorrector::create(const field::Catalogue& catalogue, BatchOptions batch,
                                                               ByteSink& sink) {
  auto options = parse_options(batch.defaults, batch.today);
  if (!options) return options.problem();
  const Format in = batch.in, out = batch.out;
  // Rows of JSON may differ in their members and features carry shapes: neither has a faithful table.
  const bool possible =
      in == out || (in == Format::csv && out != Format::geojson) || (in == Format::json && out == Format::ndjson) ||
      (in == Format::ndjson && out == Format::json) || (in == Format::geojson && out == Format::ndjson);
  if (!possible)
    return Problem{Code::unsupported_format, "type", std::string(media_type(out)),
                   "rows of " + std::string(media_type(in)) + " cannot be written like that without loss",
                   "Ask for the type that was sent, or for application/x-ndjson"};
  const Work work{&sink, batch.executor, batch.gzip};
  return make(catalogue, *std::move(options), std::move(batch), work);
}

Result<std::unique_ptr<BatchCorrector>> watch_batch(const field::Catalogue& catalogue, BatchOptions batch,
                                                    RowWatcher& watcher) {
  static NowhereSink nowhere;
  auto options = parse_options(batch.defaults, batch.today);
  if (!options) return options.problem();
  batch.out = batch.in;
  const Work work{&nowhere, nullptr, false, &watcher};
  return make(catalogue, *std::move(options), std::move(batch), work);
}

}  // namespace agonic::exchange
