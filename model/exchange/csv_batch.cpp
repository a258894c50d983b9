#include "model/exchange/csv_batch.hpp"

#include <algorithm>
#include <array>
#include <set>

#include "model/exchange/added_text.hpp"
#include "model/units/number.hpp"

namespace agonic::exchange {

using reading::Added;
using reading::Cell;
using reading::Column;

namespace {

constexpr std::string_view kUtf8Bom = "\xEF\xBB\xBF";

Problem file_problem(Code code, std::string message, std::string remedy, std::string field = "header") {
  return {code, std::move(field), "", std::move(message), std::move(remedy)};
}

// The delimiter that cuts the header into most cells.
char guess_delimiter(std::string_view header) {
  char best = ',';
  std::size_t most = 0;
  std::vector<CsvField> fields;
  for (char candidate : {',', ';', '\t'}) {
    split_fields(header, candidate, fields);
    if (fields.size() > most) most = fields.size(), best = candidate;
  }
  return best;
}

// Columns whose cells are plain numbers or degrees, so that a decimal mark can be told from them.
bool holds_numbers(Column column) {
  constexpr std::array kOthers{Column::place,           Column::date,          Column::kind,
                               Column::azimuth_unit,    Column::vertical_unit, Column::plane_convention,
                               Column::north_reference, Column::crs,           Column::target_crs,
                               Column::instrument,      Column::backsight,     Column::target_date};
  return std::find(kOthers.begin(), kOthers.end(), column) == kOthers.end();
}

bool has_fraction(std::string_view text, char mark) {
  const auto at = text.find(mark);
  const auto digit = [&](std::size_t i) { return i < text.size() && text[i] >= '0' && text[i] <= '9'; };
  return at != std::string_view::npos && at > 0 && digit(at - 1) && digit(at + 1);
}

std::uint64_t count_lines(std::string_view text) {
  return static_cast<std::uint64_t>(std::count(text.begin(), text.end(), '\n'));
}

// Bytes up to the line feed: the measure of every limit, so that it does not matter how the file was cut.
std::size_t bytes_to_line_feed(const RecordScanner::Record& record) {
  return record.length + record.ending - (record.ending > 0 ? 1 : 0);
}

// Numbers with each decimal mark, over the records of the head; the last may be cut off.
// How often point and comma stand in numbers. Three digits behind the mark (1,000) may be thousands: weak evidence.
struct Marks {
  std::array<std::size_t, 2> sure{}, weak{};
};

bool three_digits_behind(std::string_view text, char mark) {
  const std::string_view plain = trim(text.substr(0, text.find_last_not_of('"') + 1));
  const auto at = plain.rfind(mark);
  return plain.size() == at + 4 && plain.find_first_not_of("0123456789", at + 1) == std::string_view::npos;
}

Marks count_marks(std::string_view head, char delimiter, const std::vector<std::optional<Column>>& columns) {
  Marks found;
  std::vector<CsvField> fields;
  RecordScanner scanner(delimiter);
  while (!head.empty()) {
    const auto record = scanner.scan(head).value_or(RecordScanner::Record{head.size(), 0});
    split_fields(head.substr(0, record.length), delimiter, fields);
    for (std::size_t i = 0; i < fields.size() && i < columns.size(); ++i) {
      if (!columns[i] || !holds_numbers(*columns[i])) continue;
      for (std::size_t mark = 0; mark < 2; ++mark) {
        if (!has_fraction(fields[i].raw, mark == 0 ? '.' : ',')) continue;
        ++(three_digits_behind(fields[i].raw, mark == 0 ? '.' : ',') ? found.weak : found.sure)[mark];
      }
    }
    head.remove_prefix(record.length + record.ending);
  }
  return found;
}

}  // namespace

CsvBatch::CsvBatch(const field::Catalogue& catalogue, Options options, Format out, Work work)
    : RowBatch(catalogue, work), options_(std::move(options)), out_(out) {}

std::optional<Problem> CsvBatch::feed(std::string_view bytes) {
  if (start_ > 0) {
    buffer_.erase(0, start_);
    start_ = 0;
  }
  // Large pieces are taken in slices, so that the buffer stays a window.
  while (!bytes.empty()) {
    const auto slice = bytes.substr(0, kHeadBytes);
    bytes.remove_prefix(slice.size());
    buffer_ += slice;
    if (!started()) {
      // The mark is settled on the same bytes however the file is cut.
      if (buffer_.size() < kHeadBytes) continue;
      if (auto problem = begin()) return problem;
    }
    if (auto problem = drain(false)) return problem;
    buffer_.erase(0, start_);
    start_ = 0;
  }
  return std::nullopt;
}

Result<Summary> CsvBatch::finish() {
  if (!started())
    if (auto problem = begin()) return *problem;
  if (auto problem = drain(true)) return *problem;
  return end();
}

std::optional<Problem> CsvBatch::begin() {
  std::string_view head = std::string_view(buffer_).substr(0, kHeadBytes);
  if (head.starts_with("\xFF\xFE") || head.starts_with("\xFE\xFF"))
    return file_problem(Code::file_malformed, "the file is UTF-16", "Save it as CSV in UTF-8", "file");
  if (head.starts_with(kUtf8Bom)) {
    layout_.bom = kUtf8Bom;
    start_ = kUtf8Bom.size();
    head.remove_prefix(start_);
  }
  if (trim(head).empty())
    return file_problem(Code::columns_missing, "the file is empty", "Give a CSV file with a header line", "file");
  layout_.delimiter = options_.delimiter.value_or(guess_delimiter(head.substr(0, head.find('\n'))));
  scanner_.set_delimiter(layout_.delimiter);
  RecordScanner scanner(layout_.delimiter);
  auto record = scanner.scan(head);
  if (!record) {
    if (scanner.in_quotes())
      return file_problem(Code::file_malformed, "a quote in the header is never closed", "Close it");
    record = RecordScanner::Record{head.size(), 0};
  }
  const auto header = head.substr(0, record->length);
  split_fields(header, layout_.delimiter, fields_);
  if (header.find('\0') != std::string_view::npos)
    return file_problem(Code::file_malformed, "the header holds NUL bytes: this is no text in UTF-8",
                        "Save it as CSV in UTF-8", "file");
  if (bare_return(fields_))
    return file_problem(Code::file_malformed, "the lines end with CR alone",
                        "Save the file with LF or CRLF line endings", "file");
  if (record->ending == 0 && buffer_.size() >= kHeadBytes)
    return file_problem(Code::file_malformed, "the header is longer than 64 KiB", "Give a CSV file with a header line");
  layout_.ending = head.substr(record->length, record->ending);
  if (auto problem = read_header(header)) return problem;
  start_ += record->length + record->ending;
  line_ = 1 + count_lines(header) + (record->ending > 0 ? 1 : 0);
  settle_decimal_mark(head.substr(record->length + record->ending));

  const auto& defaults = options_.rules.defaults;
  const auto given = [&](Column column) {
    return defaults[static_cast<std::size_t>(column)].has_value() ||
           std::find(columns_.read.begin(), columns_.read.end(), column) != columns_.read.end();
  };
  if (!given(Column::azimuth)) return lacking("azimuth");
  if (!given(Column::place) && !(given(Column::lat) && given(Column::lon))) return lacking("place, or lat and lon");
  if (!given(Column::date)) return lacking("date");

  layout_.with_target = given(Column::target_date);
  start(options_.rules, csv_reader(columns_, layout_.delimiter, out_ == Format::csv),
        [layout = layout_, names = columns_.names, out = out_] {
          return out == Format::csv ? csv_writer(layout) : csv_to_json_writer(names, out, layout.with_target);
        });
  return std::nullopt;
}

Problem CsvBatch::lacking(const std::string& what) const {
  std::string have;
  for (const auto& name : columns_.names) have += (have.empty() ? "" : ", ") + printable(name, 40);
  return file_problem(Code::columns_missing, "there is no column " + what + "; the file has: " + printable(have, 400),
                      "Name the column as in the documentation, or give a default for the whole batch");
}

std::optional<Problem> CsvBatch::read_header(std::string_view record) {
  std::vector<std::string> keys, added;
  for (const CsvField& field : fields_) {
    columns_.names.push_back(value_of(field));
    keys.emplace_back(trim(columns_.names.back()));
    const std::string& key = keys.back();
    const auto column = reading::column_of(key);
    if (column && std::find(columns_.read.begin(), columns_.read.end(), column) != columns_.read.end())
      return file_problem(Code::file_malformed, "the column " + key + " is there twice", "Rename one of them");
    columns_.read.push_back(column);
    const auto taken = reading::added_of(key);
    if (taken == Added::azimuth_true) columns_.earlier_true = keys.size() - 1;
    if (taken == Added::correction) columns_.earlier_correction = keys.size() - 1;
    if (taken == Added::checks) columns_.earlier_checks = keys.size() - 1;
    if (taken) added.push_back(key);
  }
  for (const std::string& key : keys) {
    const auto meant = reading::column_of(key) || reading::added_of(key) ? std::nullopt : reading::nearly(key);
    if (meant && std::find(columns_.read.begin(), columns_.read.end(), meant) == columns_.read.end())
      return Problem{Code::unknown_name, "header", printable(key),
                     "the column would be passed over, and it looks like " + std::string(name(*meant)),
                     "Write it as " + std::string(name(*meant)) + ", or rename it if it is a column of your own"};
  }
  layout_.columns = columns_.names.size();
  layout_.header = record;
  if (!added.empty()) {
    const bool has_model = std::find(added.begin(), added.end(), name(Added::model)) != added.end();
    if (!columns_.earlier_true || !columns_.earlier_correction || !has_model)
      return Problem{Code::name_taken, "header", added.front(), "a column has the name of one that is added",
                     "Rename it, as my_" + added.front()};
    if (!options_.again)
      return file_problem(Code::already_corrected,
                          "the file carries azimuth_true, correction and model: it was corrected before",
                          "Correct the original file; or say again=yes: the earlier correction is then undone first "
                          "and kept in columns named earlier_...");
    rename_earlier(keys);
  }
  return out_ == Format::csv ? std::nullopt : check_names();
}

void CsvBatch::rename_earlier(const std::vector<std::string>& keys) {
  layout_.header.clear();
  for (std::size_t i = 0; i < columns_.names.size(); ++i) {
    if (i > 0) layout_.header += layout_.delimiter;
    if (of_a_correction(keys[i])) {
      columns_.names[i] = "earlier_" + keys[i];
      Text field;
      append_field(columns_.names[i], layout_.delimiter, field);
      layout_.header += field.view();
    } else {
      layout_.header += fields_[i].raw;
    }
  }
}

// Names become the keys of JSON objects: each once, and in UTF-8.
std::optional<Problem> CsvBatch::check_names() const {
  std::set<std::string_view> seen;
  for (const std::string& name : columns_.names) {
    if (!is_utf8(name))
      return file_problem(Code::file_malformed, "the column name " + printable(name, 40) + " is not in UTF-8",
                          "Save the file in UTF-8, or keep it CSV");
    if (!seen.insert(name).second)
      return file_problem(Code::file_malformed,
                          name.empty() ? std::string("several columns have no name")
                                       : "the column " + printable(name, 40) + " is there twice",
                          "Give each column a name of its own, or keep the file CSV");
  }
  return std::nullopt;
}

void CsvBatch::settle_decimal_mark(std::string_view head) {
  // The head may end within a letter; a line does not.
  layout_.other_encoding = layout_.bom.empty() && !is_utf8(head.substr(0, head.rfind('\n') + 1));
  if (options_.decimal_mark) {
    layout_.decimal_mark = *options_.decimal_mark;
  } else {
    const Marks marks = count_marks(head, layout_.delimiter, columns_.read);
    const bool sure = marks.sure[0] + marks.sure[1] > 0;
    // Between commas, "1,000" in quotes is more likely a thousand than one.
    const bool comma = sure ? marks.sure[1] > marks.sure[0] : layout_.delimiter != ',' && marks.weak[1] > marks.weak[0];
    layout_.decimal_mark = comma ? ',' : '.';
  }
  options_.rules.cell_mark = layout_.decimal_mark;
}

std::optional<Problem> CsvBatch::drain(bool last) {
  while (true) {
    const auto rest = std::string_view(buffer_).substr(start_);
    const auto record = scanner_.scan(rest);
    const std::size_t length = record ? bytes_to_line_feed(*record) : rest.size();
    // A quote left open would swallow what follows: a record of several lines ends within 64 KiB or its first line is
    // taken as broken.
    const bool several_lines = length > kHeadBytes && rest.substr(0, kHeadBytes).find('\n') != std::string_view::npos;
    if (several_lines || (!record && last && scanner_.in_quotes())) {
      if (++broken_lines_ > kMostBrokenLines)
        return file_problem(Code::file_malformed,
                            "more than " + std::to_string(kMostBrokenLines) + " lines open a quote and never close it",
                            "Save it as CSV with quotes doubled inside quoted cells", "file");
      take_broken_line();
      continue;
    }
    if (length > kLongestRow)
      return file_problem(Code::too_large, "line " + std::to_string(line_) + " is longer than 1 MiB",
                          "Is this a CSV file?", "file");
    if (record) {
      take(rest.substr(0, record->length), rest.substr(record->length, record->ending));
      start_ += record->length + record->ending;
      continue;
    }
    if (last && !rest.empty()) {
      take(rest, {});
      start_ = buffer_.size();
      scanner_.reset();
    }
    return std::nullopt;
  }
}

void CsvBatch::take(std::string_view record, std::string_view ending) {
  // Cells of a tab-separated row may all be empty: that is a row, not a blank line.
  const bool blank = trim(record).empty() && record.find(layout_.delimiter) == std::string_view::npos;
  take_record(record, ending, line_, blank ? RecordKind::blank : RecordKind::row);
  line_ += (scanner_.had_quotes() ? count_lines(record) : 0) + (ending.empty() ? 0 : 1);
}

// The line with the opening quote becomes a row of its own, refused, its bytes kept in the first cell; reading goes on
// with the next line.
void CsvBatch::take_broken_line() {
  const auto rest = std::string_view(buffer_).substr(start_);
  const auto newline = rest.find('\n');
  std::string_view line = rest.substr(0, newline);
  const bool crlf = newline != std::string_view::npos && line.ends_with('\r');
  if (crlf) line.remove_suffix(1);
  take_record(line, newline == std::string_view::npos ? "" : crlf ? "\r\n" : "\n", line_++, RecordKind::broken);
  start_ += newline == std::string_view::npos ? rest.size() : newline + 1;
  scanner_.reset();
}

}  // namespace agonic::exchange
