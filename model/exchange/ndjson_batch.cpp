#include "model/exchange/ndjson_batch.hpp"

#include "model/exchange/json_batch.hpp"
#include "model/exchange/json_row.hpp"
#include "model/units/number.hpp"

namespace agonic::exchange {

NdjsonBatch::NdjsonBatch(const field::Catalogue& catalogue, Options options, Format out, Work work)
    : RowBatch(catalogue, work), options_(std::move(options)), out_(out) {
  const bool with_target = options_.rules.defaults[static_cast<std::size_t>(reading::Column::target_date)].has_value();
  reader_ = json_row_reader(false, options_.again);
  start(options_.rules, reader_, [with_target, to = out_] {
    return to == Format::ndjson ? ndjson_writer(with_target, false) : json_writer(to, {}, nullptr, with_target);
  });
}

std::optional<Problem> NdjsonBatch::feed(std::string_view bytes) {
  while (!bytes.empty()) {
    const auto newline = bytes.find('\n');
    if (newline == std::string_view::npos) {
      rest_ += bytes;
      bytes = {};
    } else if (rest_.empty()) {
      if (auto problem = take_line(bytes.substr(0, newline))) return problem;
      bytes.remove_prefix(newline + 1);
    } else {
      rest_ += bytes.substr(0, newline);
      if (auto problem = take_line(rest_)) return problem;
      rest_.clear();
      bytes.remove_prefix(newline + 1);
    }
    if (rest_.size() > kLongestRow)
      return Problem{Code::too_large, "line " + std::to_string(line_), "", "the line is longer than 1 MiB",
                     "Give one object a line"};
  }
  return std::nullopt;
}

std::optional<Problem> NdjsonBatch::take_line(std::string_view line) {
  if (line.size() > kLongestRow)
    return Problem{Code::too_large, "line " + std::to_string(line_), "", "the line is longer than 1 MiB",
                   "Give one object a line"};
  if (line_ == 1 && (line.starts_with("\xFF\xFE") || line.starts_with("\xFE\xFF")))
    return Problem{Code::file_malformed, "file", "", "the file is UTF-16", "Save it as NDJSON in UTF-8"};
  if (line_ == 1 && line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);
  const std::uint64_t number = line_++;
  if (trim(line).empty()) return std::nullopt;
  line = trim(line);
  if (first_row_)
    if (auto problem = refuses_file(*reader_, line)) return problem;
  first_row_ = false;
  take_record(line, {}, number, RecordKind::row);
  return std::nullopt;
}

Result<Summary> NdjsonBatch::finish() {
  if (!trim(rest_).empty())
    if (auto problem = take_line(rest_)) return *problem;
  return end();
}

}  // namespace agonic::exchange
