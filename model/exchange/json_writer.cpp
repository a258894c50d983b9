#include <algorithm>

#include "model/exchange/added_text.hpp"
#include "model/exchange/writer.hpp"

namespace agonic::exchange {
namespace {

// The object as it came with the added members put in; what cannot be spliced is kept as text.
void append_object(const Row& row, const reading::Outcome& outcome, bool with_target, AddedMembers& added, Text& out) {
  const bool target = with_target || row.with_target;
  if (!row.splice) {
    out += "{\"raw_row\":";
    append_json_string(row.raw, out);
    out += ',';
    added.append(outcome, target, out);
    out += '}';
    return;
  }
  out += row.raw.substr(0, row.insert_at);
  if (!row.insert_first) out += ',';
  added.append(outcome, target, out);
  out += row.raw.substr(row.insert_at);
}

// One object from a CSV row: its cells as strings, then the added members.
void append_cells(const std::vector<std::string>& names, const Row& row, const Desk& desk,
                  const reading::Outcome& outcome, bool with_target, AddedMembers& added, Text& out) {
  out += '{';
  for (std::size_t i = 0; i < names.size(); ++i) {
    append_json_string(names[i], out);
    out += ':';
    append_json_string(i < row.fields_count ? desk.fields[row.fields_begin + i] : std::string_view(), out);
    out += ',';
  }
  added.append(outcome, with_target, out);
  out += '}';
}

class JsonWriter : public RowWriter {
 public:
  JsonWriter(Format out, std::string before, std::shared_ptr<const std::string> after, bool with_target)
      : with_target_(with_target), format_(out), before_(std::move(before)), after_(std::move(after)) {}

  void begin(Text& out) override {
    out += '{';
    if (!before_.empty()) {
      out += before_;
      out += ',';
    }
    out += format_ == Format::geojson ? std::string_view("\"features\":[") : std::string_view("\"readings\":[");
  }
  void row(const Row& row, const Desk& desk, const reading::Outcome& outcome, bool first, Text& out) override {
    if (!first) out += ',';
    out += '\n';
    object(row, desk, outcome, out);
  }
  void blank(const Row&, Text&) override {}
  void end(const Summary& summary, Text& out) override {
    out += "\n]";
    if (after_ && !after_->empty()) {
      out += ',';
      out += *after_;
    }
    out += ",\"summary\":";
    out += to_json(summary);
    out += "}\n";
  }

 protected:
  virtual void object(const Row& row, const Desk&, const reading::Outcome& outcome, Text& out) {
    const bool unread_feature = format_ == Format::geojson && !row.splice;
    if (unread_feature) out += "{\"type\":\"Feature\",\"geometry\":null,\"properties\":";
    append_object(row, outcome, with_target_, added_, out);
    if (unread_feature) out += '}';
  }
  bool with_target_;
  AddedMembers added_;

 private:
  Format format_;
  std::string before_;
  std::shared_ptr<const std::string> after_;
};

class CsvToJsonWriter final : public JsonWriter {
 public:
  CsvToJsonWriter(std::vector<std::string> names, bool with_target)
      : JsonWriter(Format::json, {}, nullptr, with_target), names_(std::move(names)) {}

 private:
  void object(const Row& row, const Desk& desk, const reading::Outcome& outcome, Text& out) override {
    append_cells(names_, row, desk, outcome, with_target_, added_, out);
  }
  std::vector<std::string> names_;
};

class NdjsonWriter final : public RowWriter {
 public:
  NdjsonWriter(std::vector<std::string> names, bool from_csv, bool with_target, bool several_lines)
      : names_(std::move(names)), from_csv_(from_csv), with_target_(with_target), several_lines_(several_lines) {}
  void begin(Text&) override {}
  void row(const Row& row, const Desk& desk, const reading::Outcome& outcome, bool, Text& out) override {
    const std::size_t begin = out.size();
    if (from_csv_)
      append_cells(names_, row, desk, outcome, with_target_, added_, out);
    else
      append_object(row, outcome, with_target_, added_, out);
    // Line ends stand between the tokens of sound JSON, never inside them.
    if (several_lines_)
      std::replace_if(
          out.data() + begin, out.data() + out.size(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
    out += '\n';
  }
  void blank(const Row&, Text&) override {}
  void end(const Summary&, Text&) override {}

 private:
  std::vector<std::string> names_;
  bool from_csv_, with_target_, several_lines_;
  AddedMembers added_;
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
