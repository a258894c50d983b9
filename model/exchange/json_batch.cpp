#include "model/exchange/json_batch.hpp"

#include <set>

#include "model/exchange/added_text.hpp"
#include "model/exchange/json_row.hpp"
#include "model/reading/read_row.hpp"
#include "model/units/number.hpp"

namespace agonic::exchange {

JsonBatch::JsonBatch(const field::Catalogue& catalogue, Options options, Parameters parameters, Format in, Format out,
                     Work work)
    : RowBatch(catalogue, work), options_(std::move(options)), parameters_(std::move(parameters)), in_(in), out_(out) {}

Problem JsonBatch::malformed(std::string message, std::string remedy) const {
  return {Code::file_malformed, "line " + std::to_string(line_), "", std::move(message), std::move(remedy)};
}

std::optional<Problem> JsonBatch::feed(std::string_view bytes) {
  for (char c : bytes) {
    if (auto problem = take(c)) return problem;
    if (c == '\n') ++line_;
    if (text_.size() > kLongestRow)
      return Problem{Code::too_large, "line " + std::to_string(line_), "", "one value is longer than 1 MiB",
                     "Is this a batch of readings?"};
  }
  return std::nullopt;
}

std::optional<Problem> JsonBatch::take_start(char c) {
  constexpr std::string_view kBom = "\xEF\xBB\xBF";
  if (bom_ < kBom.size()) {
    if (c == kBom[bom_]) {
      ++bom_;
      return std::nullopt;
    }
    if (bom_ > 0) return malformed("the document begins with bytes that are no text", "Save it as JSON in UTF-8");
    bom_ = kBom.size();  // none: it stands at the very front or nowhere
  }
  if (json_space(c)) return std::nullopt;
  if (c == '\xFF' || c == '\xFE' || c == '\0')
    return malformed("the document is UTF-16 or UTF-32", "Save it as JSON in UTF-8");
  if (c != '{')
    return malformed("the document is no JSON object",
                     "Give {\"" + std::string(rows_name()) + "\": [...]}; one object a line is application/x-ndjson");
  at_ = At::first_key;
  return std::nullopt;
}

std::optional<Problem> JsonBatch::take_key(char c) {
  if (json_space(c)) return std::nullopt;
  if (c == '}' && at_ == At::first_key) {
    at_ = At::end;
    return std::nullopt;
  }
  if (c != '"') return malformed("a member name is expected", "Check the commas and quotes there");
  text_.clear();
  scanner_.reset();
  at_ = At::key_text;
  return take(c);
}

std::optional<Problem> JsonBatch::take_element(char c) {
  if (json_space(c)) return std::nullopt;
  if (c == ']' && at_ == At::first_element) {
    at_ = At::after_member;
    return std::nullopt;
  }
  if (c == ']' || c == ',') return malformed("a row is expected after the comma", "Take the surplus comma out");
  text_.clear();
  scanner_.reset();
  element_line_ = line_;
  at_ = At::element_value;
  return take(c);
}

std::optional<Problem> JsonBatch::take(char c) {
  const bool space = json_space(c);
  switch (at_) {
    case At::start:
      return take_start(c);
    case At::first_key:
    case At::key:
      return take_key(c);
    case At::key_text:
      text_ += c;
      if (scanner_.take(c)) {
        if (!sound_json(text_, 1)) return malformed("a member name is no sound JSON text", "Check its escapes");
        key_ = unescape_json(text_);
        at_ = At::colon;
      }
      return std::nullopt;
    case At::colon:
      if (space) return std::nullopt;
      if (c != ':')
        return malformed("a colon is expected after the member name", "Check the member " + printable(key_));
      at_ = At::value;
      return std::nullopt;
    case At::value:
      if (space) return std::nullopt;
      if (key_ == rows_name()) {
        if (c != '[') return malformed(key_ + " is no array", "Give the rows as an array of objects");
        at_ = At::first_element;
        return begin_rows();
      }
      text_.clear();
      scanner_.reset();
      at_ = At::member_value;
      [[fallthrough]];
    case At::member_value:
    case At::element_value: {
      const bool element = at_ == At::element_value;
      const bool complete = scanner_.take(c);
      if (!complete || scanner_.consumed()) text_ += c;
      if (!complete) return std::nullopt;
      at_ = element ? At::after_element : At::after_member;
      if (auto problem = element ? element_done() : member_done()) return problem;
      return scanner_.consumed() ? std::nullopt : take(c);
    }
    case At::after_member:
      if (space) return std::nullopt;
      if (c != ',' && c != '}')
        return malformed("a comma or the closing brace is expected", "Check what stands after " + printable(key_));
      at_ = c == ',' ? At::key : At::end;
      return std::nullopt;
    case At::first_element:
    case At::element:
      return take_element(c);
    case At::after_element:
      if (space) return std::nullopt;
      if (c != ',' && c != ']')
        return malformed("a comma or the closing bracket is expected between rows", "Check the row before");
      at_ = c == ',' ? At::element : At::after_member;
      return std::nullopt;
    case At::end:
      if (space) return std::nullopt;
      return malformed("there is text after the document", "Give one document");
  }
  return std::nullopt;
}

std::optional<Problem> JsonBatch::member_done() {
  if (key_ == "defaults") {
    if (rows_seen_)
      return malformed("defaults stand after the rows", "Put defaults before " + std::string(rows_name()));
    if (defaults_seen_) return malformed("defaults are there twice", "Put all defaults into one object");
    defaults_seen_ = true;
    return read_defaults(text_);
  }
  for (const std::string_view known : {std::string_view("defaults"), rows_name()})
    if (one_letter_off(lower(key_), known) || lower(key_) == known)
      return malformed(
          "the member " + printable(key_) + " would be passed over, and it looks like " + std::string(known),
          "Write it as " + std::string(known) + ", or rename it");
  if (!sound_json(text_, kDeepestJson))
    return malformed("the member " + printable(key_) + " is no sound JSON, or nested too deep", "Check it");
  std::string name = key_;
  if (key_ == "summary") {
    if (!options_.again)
      return Problem{Code::name_taken, "summary", "", "the document has a summary, and one is added",
                     "Rename it, as my_summary; if the document was corrected before, correct the original"};
  }
  if (options_.again && (key_ == "summary" || key_ == "earlier_summary")) name = "earlier_" + key_;
  if (in_ == Format::geojson && key_ == "type" && text_ != "\"FeatureCollection\"")
    return malformed("this is no FeatureCollection", "Put the features into a FeatureCollection");
  std::string& members = rows_seen_ ? *members_after_ : members_before_;
  if (!members.empty()) members += ',';
  members += json_string(name) + ":" + text_;
  if (members.size() > kLongestRow)
    return Problem{Code::too_large, "line " + std::to_string(line_), "",
                   "the members beside " + std::string(rows_name()) + " are longer than 1 MiB",
                   "Is this a batch of readings?"};
  return std::nullopt;
}

std::optional<Problem> JsonBatch::read_defaults(std::string_view object) {
  if (!sound_json(object, kDeepestJson) || object.front() != '{')
    return malformed("defaults is no sound object", "Give {\"defaults\": {\"set_declination\": 0}, ...}");
  std::set<std::string> seen;
  for (auto member = next_member(object, std::nullopt); member; member = next_member(object, member)) {
    const std::string name = unescape_json(object.substr(member->key_begin, member->key_end - member->key_begin));
    const auto value = object.substr(member->value_begin, member->value_end - member->value_begin);
    if (value.front() == '{' || value.front() == '[')
      return malformed("the default of " + printable(name) + " is no text or number", "Give a text or a number");
    if (!seen.insert(name).second)
      return malformed("the default of " + printable(name) + " is there twice", "Keep one of them");
    const bool is_date = name == "date" || name == "target_date";
    if (is_date && value.front() != '"' && value.front() != 'n')
      return malformed("the default of " + name + " is a number, and a JSON number is no date",
                       "Give it as text, \"2008-07-01\"");
    std::optional<std::string> text;
    if (value.front() == '"')
      text = unescape_json(value);
    else if (value.front() != 'n')
      text = std::string(value);
    if (auto problem = add_default(options_, parameters_, name, std::move(text))) return problem;
  }
  if (auto problem = reading::check_defaults(options_.rules)) {
    problem->field = "defaults." + problem->field;
    return problem;
  }
  if (auto problem = check_model(options_, catalogue())) {
    problem->field = "defaults." + problem->field;
    return problem;
  }
  return std::nullopt;
}

std::optional<Problem> JsonBatch::begin_rows() {
  if (rows_seen_) return malformed(std::string(rows_name()) + " is there twice", "Put all rows into one array");
  rows_seen_ = true;
  const bool with_target = options_.rules.defaults[static_cast<std::size_t>(reading::Column::target_date)].has_value();
  reader_ = json_row_reader(in_ == Format::geojson, options_.again);
  start(
      options_.rules, reader_, [with_target, from = in_, to = out_, before = members_before_, after = members_after_] {
        return to == Format::ndjson ? ndjson_writer(with_target, true) : json_writer(from, before, after, with_target);
      });
  return std::nullopt;
}

std::optional<Problem> JsonBatch::element_done() {
  if (first_row_)
    if (auto problem = refuses_file(*reader_, text_)) return problem;
  first_row_ = false;
  take_record(text_, {}, element_line_, RecordKind::row);
  return std::nullopt;
}

Result<Summary> JsonBatch::finish() {
  if (at_ != At::end)
    return at_ == At::start ? malformed("the document is empty", "Give {\"" + std::string(rows_name()) + "\": [...]}")
                            : malformed("the document ends before its closing brace", "Was it cut off on the way?");
  if (!rows_seen_)
    return Problem{Code::columns_missing, std::string(rows_name()), "",
                   "the document has no " + std::string(rows_name()),
                   "Give {\"" + std::string(rows_name()) + "\": [...]}"};
  return end();
}

}  // namespace agonic::exchange
