#include "model/exchange/added_text.hpp"
#include "model/exchange/csv_batch.hpp"
#include "model/units/number.hpp"

namespace agonic::exchange {

using reading::Cell;

std::string value_of(const CsvField& field) {
  return field.quoted && !field.broken ? unquote(field.raw) : std::string(field.raw);
}

bool bare_return(const std::vector<CsvField>& fields) {
  return std::any_of(fields.begin(), fields.end(),
                     [](const CsvField& f) { return !f.quoted && f.raw.find('\r') != std::string_view::npos; });
}

namespace {

class CsvReader final : public RowReader {
 public:
  CsvReader(CsvColumns columns, char delimiter, bool out_is_csv)
      : columns_(std::move(columns)), delimiter_(delimiter), out_is_csv_(out_is_csv) {}

  void read(Row& row, bool broken, Desk& desk) const override {
    row.fields_begin = desk.fields.size();
    if (broken) return keep_whole(row, desk);
    const bool odd = split_fields(row.raw, delimiter_, desk.split);
    row.fields_count = desk.split.size();
    if (desk.split.size() > columns_.names.size()) return refuse_extra(row, desk);
    if (odd || !out_is_csv_) return fill_odd(row, desk);
    for (std::size_t i = 0; i < desk.split.size(); ++i) fill_cell(i, desk.split[i].raw, desk);
  }

  [[nodiscard]] std::unique_ptr<PassedReader> passed(const std::vector<std::string>& names) const override;

 private:
  void fill_cell(std::size_t i, std::string_view value, Desk& desk) const {
    const Cell cell{Cell::State::text, value};
    if (columns_.read[i]) desk.cells[*columns_.read[i]] = cell;
    if (columns_.earlier_true == i) desk.cells.earlier_azimuth_true = cell;
    if (columns_.earlier_correction == i) desk.cells.earlier_correction = cell;
    if (columns_.earlier_checks == i) desk.cells.earlier_checks = cell;
  }

  // A row with quotes or control characters, or one whose cells are written one by one.
  void fill_odd(Row& row, Desk& desk) const {
    const auto& fields = desk.split;
    if (row.raw.find('\0') != std::string::npos)
      row.refuse({Code::row_malformed, "", "", "the row holds a NUL byte", "Save the file as text in UTF-8"});
    else if (bare_return(fields))
      row.refuse({Code::row_malformed, "", "", "a CR stands alone inside the row",
                  "Save the file with LF or CRLF line endings"});
    for (std::size_t i = 0; i < fields.size(); ++i) {
      const CsvField& field = fields[i];
      if (field.broken && !row.problem)
        row.refuse({Code::row_malformed, columns_.names[i], printable(field.raw),
                    "there is text after the closing quote", "Double the quotes that belong to the text"});
      const std::string_view value = field.quoted && !field.broken ? desk.keep(unquote(field.raw)) : field.raw;
      if (!out_is_csv_) {
        desk.fields.push_back(value);
        if (!row.problem && !is_utf8(value))
          row.refuse({Code::row_malformed, columns_.names[i], printable(value),
                      "the cell is not in UTF-8, and JSON carries nothing else",
                      "Save the file in UTF-8, or keep it CSV"});
      }
      fill_cell(i, value, desk);
    }
  }

  // The cells beyond the header's go into the reason.
  void refuse_extra(Row& row, Desk& desk) const {
    auto& fields = desk.split;
    const std::size_t columns = columns_.names.size();
    const auto cut = static_cast<std::size_t>(fields[columns].raw.data() - row.raw.data());
    row.refuse({Code::row_malformed, "", "",
                "the row has " + std::to_string(fields.size()) + " cells, the header " + std::to_string(columns) +
                    "; the cells beyond were: " + printable(row.raw.substr(cut), kLongestRow),
                "Quote cells that hold the delimiter"});
    row.fields_count = columns;
    if (!out_is_csv_)
      for (std::size_t i = 0; i < columns; ++i) desk.fields.push_back(desk.keep(value_of(fields[i])));
    row.raw = row.raw.substr(0, cut - 1);
  }

  void keep_whole(Row& row, Desk& desk) const {
    const std::string_view line = row.raw;
    Text quoted;
    append_field(line, delimiter_, quoted);
    row.raw = desk.keep(std::string(quoted.view()));
    row.fields_count = 1;
    if (!out_is_csv_) desk.fields.push_back(line);
    row.refuse({Code::row_malformed, "", "",
                "a quote is opened and never closed; the whole line is kept in the first cell",
                "Close the quote, or double it if it belongs to the text"});
  }

  CsvColumns columns_;
  char delimiter_;
  bool out_is_csv_;
};

class CsvPassed final : public PassedReader {
 public:
  CsvPassed(std::vector<std::size_t> places, char delimiter) : places_(std::move(places)), delimiter_(delimiter) {}
  void read(const Row& row, Desk& desk, std::vector<std::string>& out) override {
    out.assign(places_.size(), {});
    if (row.problem) return;
    split_fields(row.raw, delimiter_, desk.split);
    for (std::size_t i = 0; i < places_.size(); ++i)
      if (places_[i] < desk.split.size()) out[i] = value_of(desk.split[places_[i]]);
  }

 private:
  std::vector<std::size_t> places_;  // beyond the last: no such column
  char delimiter_;
};

std::unique_ptr<PassedReader> CsvReader::passed(const std::vector<std::string>& names) const {
  std::vector<std::size_t> places;
  places.reserve(names.size());
  for (const std::string& name : names) {
    const auto at = std::find_if(columns_.names.begin(), columns_.names.end(),
                                 [&](const std::string& n) { return lower(trim(n)) == name; });
    places.push_back(static_cast<std::size_t>(at - columns_.names.begin()));
  }
  return std::make_unique<CsvPassed>(std::move(places), delimiter_);
}

}  // namespace

std::unique_ptr<RowReader> csv_reader(CsvColumns columns, char delimiter, bool out_is_csv) {
  return std::make_unique<CsvReader>(std::move(columns), delimiter, out_is_csv);
}

}  // namespace agonic::exchange
