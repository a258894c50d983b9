// One batch from text to text, for the tests of this folder.
#pragma once

#include <gtest/gtest.h>

#include <chrono>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/exchange/batch.hpp"
#include "model/field/catalogue.hpp"

namespace agonic::exchange {

inline const field::Catalogue& catalogue() {
  static const field::Catalogue models(field::built_in_texts());
  return models;
}

class TextSink final : public ByteSink {
 public:
  void write(std::string_view bytes) override { text += bytes; }
  std::string text;
};

/// What a batch came to.
struct Batch {
  std::string out;
  std::optional<Problem> problem;  ///< of the file
  Summary summary;
  [[nodiscard]] std::string code() const { return problem ? std::string(word(problem->code)) : "none"; }
};

using Defaults = std::map<std::string, std::string, std::less<>>;

/// @param cuts where the input is cut into pieces, ascending
inline Batch run(std::string_view input, Format in, Format out, const Defaults& defaults = {},
                 const std::vector<std::size_t>& cuts = {}, Executor* executor = nullptr, bool gzip = false) {
  Batch result;
  TextSink sink;
  BatchOptions options;
  options.in = in;
  options.out = out;
  options.defaults.values = defaults;
  options.today = std::chrono::year(2026) / 11 / 25;
  options.executor = executor;
  options.gzip = gzip;
  auto batch = BatchCorrector::create(catalogue(), options, sink);
  if (!batch) {
    result.problem = batch.problem();
    return result;
  }
  std::size_t begin = 0;
  const auto feed = [&](std::size_t end) {
    if (!result.problem) result.problem = (*batch)->feed(input.substr(begin, end - begin));
    begin = end;
  };
  for (const std::size_t cut : cuts) feed(cut);
  feed(input.size());
  if (!result.problem) {
    auto summary = (*batch)->finish();
    if (summary)
      result.summary = *summary;
    else
      result.problem = summary.problem();
  }
  result.out = std::move(sink.text);
  return result;
}

inline Batch csv(std::string_view input, const Defaults& defaults = {}) {
  return run(input, Format::csv, Format::csv, defaults);
}
inline Batch json(std::string_view input, const Defaults& defaults = {}) {
  return run(input, Format::json, Format::json, defaults);
}
inline Batch ndjson(std::string_view input, const Defaults& defaults = {}) {
  return run(input, Format::ndjson, Format::ndjson, defaults);
}
inline Batch geojson(std::string_view input, const Defaults& defaults = {}) {
  return run(input, Format::geojson, Format::geojson, defaults);
}

inline std::vector<std::string> split(std::string_view text, char at) {
  std::vector<std::string> parts(1);
  for (const char c : text)
    if (c == at)
      parts.emplace_back();
    else
      parts.back() += c;
  return parts;
}

/// The names that contract and manual promise, in this order.
inline const std::string kAddedHeader =
    "azimuth_true,dip_direction_true,azimuth_grid,azimuth_magnetic,azimuth_sigma,dip_corrected,plunge_corrected,"
    "vertical_angle_corrected,declination,declination_sigma,declination_95,convergence,correction,"
    "set_declination_used,index_error_used,date_used,model,software,status,checks,remark,azimuth_true_text";

}  // namespace agonic::exchange
