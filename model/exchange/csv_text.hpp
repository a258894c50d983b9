// RFC 4180 text: where a record ends, what its cells say, how a cell is written.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/units/text.hpp"

namespace agonic::exchange {

/// One cell of a record.
struct CsvField {
  std::string_view raw;  ///< with its quotes
  bool quoted = false;
  bool broken = false;  ///< text after the closing quote, or no closing quote
};

/// Cuts a record (without its line ending) at the delimiters outside quotes.
/// @return true if it holds a quote, a CR or a NUL byte, so that its cells need a second look
bool split_fields(std::string_view record, char delimiter, std::vector<CsvField>& out);
/// The value of a quoted cell.
std::string unquote(std::string_view raw);
/// A cell as it must be written: quoted only if it has to be.
void append_field(std::string_view value, char delimiter, Text& out);

/// Finds record ends in a growing buffer without looking at any byte twice.
class RecordScanner {
 public:
  struct Record {
    std::size_t length;  ///< without the ending
    std::size_t ending;  ///< 0, 1 (LF) or 2 (CRLF) bytes
  };
  explicit RecordScanner(char delimiter) : delimiter_(delimiter) {}
  void set_delimiter(char delimiter) { delimiter_ = delimiter; }
  /// The first record of `buffer`, once its end is there; afterwards the caller takes its bytes off the front.
  std::optional<Record> scan(std::string_view buffer);
  /// At the end of the file: what is left as a record; empty if nothing is left or a quote is open.
  [[nodiscard]] bool in_quotes() const { return in_quotes_; }
  /// Was a quote open somewhere in the record found last? Only there can it hold line feeds.
  [[nodiscard]] bool had_quotes() const { return had_quotes_; }
  void reset() { at_ = 0, closed_ = 0, in_quotes_ = false, quotes_ = false; }

 private:
  std::size_t at_ = 0;
  std::size_t closed_ = 0;  // where the last quoted piece ended; 0: none
  bool in_quotes_ = false;
  bool quotes_ = false, had_quotes_ = false;
  char delimiter_;
};

}  // namespace agonic::exchange
