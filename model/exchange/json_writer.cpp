#include <algorithm>

#include "model/exchange/added_text.hpp"
#include "model/exchange/writer.hpp"

namespace agonic::exchange {
namespace {

bool row_has_target(const Row& row) {
  return row.cells[reading::Column::target_date].state != reading::Cell::State::absent;
}

// The object as it came with the added members put in; what cannot be spliced is kept as text.
void append_object(const Row& row, const reading::Outcome& outcome, bool with_target, std::string& out) {
  const std::string members = added_members(outcome, with_target || row_has_target(row));
  if (!row.splice) {
    out += "{\"raw_row\":" + json_string(row.raw) + "," + members + "}";
    return;
  }
  out.append(row.raw, 0, row.insert_at);
  if (!row.insert_first) out += ',';
  out += members;
  out.append(row.raw, row.insert_at);
}

// One object from a CSV row: its cells as strings, then the added members.
void append_cells(const std::vector<std::string>& names, const Row& row, const reading::Outcome& outcome,
                  bool with_target, std::string& out) {
  out += '{';
  for (std::size_t i = 0; i < names.size(); ++i)
    out += json_string(names[i]) + ":" + (i < row.fields.size() ? json_string(row.fields[i]) : "\"\"") + ",";
  out += added_members(outcome, with_target) + "}";
}

class JsonWriter : public RowWriter {
 public:
  JsonWriter(Format out, std::string before, std::shared_ptr<const std::string> after, bool with_target)
      : with_target_(with_target), format_(out), before_(std::move(before)), after_(std::move(after)) {}

  void begin(std::string& out) override {
    out += '{';
    if (!before_.empty()) out += before_ + ",";
    out += format_ == Format::geojson ? "\"features\":[" : "\"readings\":[";
  }
  void row(const Row& row, const reading::Outcome& outcome, std::string& out) override {
    out += first_ ? "\n" : ",\n";
    first_ = false;
    object(row, outcome, out);
  }
  void blank(const Row&, std::string&) override {}
  void end(const Summary& summary, std::string& out) override {
    out += "\n]";
    if (after_ && !after_->empty()) out += "," + *after_;
    out += ",\"summary\":" + to_json(summary) + "}\n";
  }

 protected:
  virtual void object(const Row& row, const reading::Outcome& outcome, std::string& out) {
    if (format_ == Format::geojson && !row.splice)
      out += "{\"type\":\"Feature\",\"geometry\":null,\"properties\":{\"raw_row\":" + json_string(row.raw) + "," +
             added_members(outcome, with_target_) + "}}";
    else
      append_object(row, outcome, with_target_, out);
  }
  bool with_target_;

 private:
  Format format_;
  std::string before_;
  std::shared_ptr<const std::string> after_;
  bool first_ = true;
};

class CsvToJsonWriter final : public JsonWriter {
 public:
  CsvToJsonWriter(std::vector<std::string> names, bool with_target)
      : JsonWriter(Format::json, {}, nullptr, with_target), names_(std::move(names)) {}

 private:
  void object(const Row& row, const reading::Outcome& outcome, std::string& out) override {
    append_cells(names_, row, outcome, with_target_, out);
  }
  std::vector<std::string> names_;
};

class NdjsonWriter final : public RowWriter {
 public:
  NdjsonWriter(std::vector<std::string> names, bool from_csv, bool with_target, bool several_lines)
      : names_(std::move(names)), from_csv_(from_csv), with_target_(with_target), several_lines_(several_lines) {}
  void begin(std::string&) override {}
  void row(const Row& row, const reading::Outcome& outcome, std::string& out) override {
    const std::size_t begin = out.size();
    if (from_csv_)
      append_cells(names_, row, outcome, with_target_, out);
    else
      append_object(row, outcome, with_target_, out);
    // Line ends stand between the tokens of sound JSON, never inside them.
    if (several_lines_)
      std::replace_if(
          out.begin() + static_cast<std::ptrdiff_t>(begin), out.end(), [](char c) { return c == '\n' || c == '\r'; },
          ' ');
    out += '\n';
  }
  void blank(const Row&, std::string&) override {}
  void end(const Summary&, std::string&) override {}

 private:
  std::vector<std::string> names_;
  bool from_csv_, with_target_, several_lines_;
};

}  // namespace

std::unique_ptr<RowWriter> json_writer(Format out, std::string before, std::shared_ptr<const std::string> after,
                                       bool with_target) {
  return std::make_unique<JsonWriter>(out, std::move(before), std::move(after), with_target);
}
std::unique_ptr<RowWriter> ndjson_writer(bool with_target, bool several_lines) {
  return std::make_unique<NdjsonWriter>(std::vector<std::string>(), false, with_target, several_lines);
}
std::unique_ptr<RowWriter> csv_to_json_writer(std::vector<std::string> names, Format out, bool with_target) {
  if (out == Format::ndjson) return std::make_unique<NdjsonWriter>(std::move(names), true, with_target, false);
  return std::make_unique<CsvToJsonWriter>(std::move(names), with_target);
}

}  // namespace agonic::exchange
