#include "model/exchange/csv_text.hpp"

namespace agonic::exchange {

void split_fields(std::string_view record, char delimiter, std::vector<CsvField>& out) {
  out.clear();
  std::size_t start = 0;
  while (true) {
    CsvField field;
    std::size_t end = start;
    if (start < record.size() && record[start] == '"') {
      field.quoted = true;
      ++end;
      while (true) {
        end = record.find('"', end);
        if (end == std::string_view::npos) {
          field.broken = true;
          end = record.size();
          break;
        }
        ++end;
        if (end >= record.size() || record[end] != '"') break;
        ++end;  // a doubled quote
      }
      if (end < record.size() && record[end] != delimiter) {
        field.broken = true;
        end = record.find(delimiter, end);
      }
    } else {
      end = record.find(delimiter, start);
    }
    if (end == std::string_view::npos) end = record.size();
    field.raw = record.substr(start, end - start);
    out.push_back(field);
    if (end >= record.size()) return;
    start = end + 1;
  }
}

std::string unquote(std::string_view raw) {
  std::string out;
  out.reserve(raw.size());
  for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
    out += raw[i];
    if (raw[i] == '"') ++i;
  }
  return out;
}

void append_field(std::string_view value, char delimiter, std::string& out) {
  const char special[] = {delimiter, '"', '\n', '\r'};
  if (value.find_first_of(std::string_view(special, sizeof special)) == std::string_view::npos) {
    out += value;
    return;
  }
  out += '"';
  for (char c : value) {
    if (c == '"') out += '"';
    out += c;
  }
  out += '"';
}

std::optional<RecordScanner::Record> RecordScanner::scan(std::string_view buffer) {
  for (; at_ < buffer.size(); ++at_) {
    const char c = buffer[at_];
    if (in_quotes_) {
      // A doubled quote closes and opens again at once: the result is the same.
      if (c == '"') in_quotes_ = false, cell_start_ = true;
      continue;
    }
    if (c == '\n') {
      const bool crlf = at_ > 0 && buffer[at_ - 1] == '\r';
      const Record record{at_ - (crlf ? 1 : 0), crlf ? std::size_t{2} : std::size_t{1}};
      reset();
      return record;
    }
    if (c == '"' && cell_start_) in_quotes_ = true;
    cell_start_ = c == delimiter_;
  }
  return std::nullopt;
}

}  // namespace agonic::exchange
