// One row on its way from bytes to bytes.
#pragma once

#include <cstdint>
#include <deque>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "model/exchange/csv_text.hpp"
#include "model/reading/columns.hpp"
#include "model/units/problem.hpp"

namespace agonic::exchange {

/// What a writer needs of a row. Its views point into the window's bytes or into the desk's texts.
struct Row {
  std::string_view raw;                            ///< the row as it came, without its line ending
  std::string_view ending;                         ///< the line ending; JSON: empty
  std::uint64_t line = 0;                          ///< where it begins; 0 where the format has no lines
  std::size_t fields_begin = 0, fields_count = 0;  ///< CSV: its cells; kept on the desk where the output is no CSV
  std::size_t insert_at = 0;                       ///< JSON: where members are added, in `raw`
  bool insert_first = false;                       ///< JSON: into an object without members
  bool splice = false;                             ///< JSON: `raw` is an object that members can be added to
  bool with_target = false;                        ///< JSON: it has a target date of its own
  bool blank = false;                              ///< an empty line: passed through, no row
  std::unique_ptr<Problem> problem;                ///< the row cannot be read at all

  void refuse(Problem why) { problem = std::make_unique<Problem>(std::move(why)); }
};

class JsonMembers;

/// Readable bytes behind every row: a vector may be read across its end.
inline constexpr std::size_t kRowPadding = 64;

/// What the rows of one window are read on. Cells are those of the row at hand.
struct Desk {
  reading::Cells cells;
  std::deque<std::string> texts;         ///< values that had to be unescaped or unquoted
  std::vector<std::string_view> fields;  ///< of all rows
  std::vector<CsvField> split;           ///< of the row at hand
  std::shared_ptr<JsonMembers> members;  ///< JSON: the parser with its memory; made when first needed

  /// Keeps a text as long as the window lives.
  std::string_view keep(std::string text) { return texts.emplace_back(std::move(text)); }
  void clear() {
    cells.clear();
    texts.clear();
    fields.clear();
  }
};

/// Reads what rows say in certain columns, whatever these mean. One a batch.
class PassedReader {
 public:
  virtual ~PassedReader() = default;
  /// @param desk its `split` is used
  /// @param out one text a column, blank where there is none
  virtual void read(const Row& row, Desk& desk, std::vector<std::string>& out) = 0;
};

/// How a row's bytes become cells. Immutable: used by several threads at once.
class RowReader {
 public:
  virtual ~RowReader() = default;
  /// Fills `row` and the desk's cells from row.raw.
  /// @param row its raw bytes are followed by kRowPadding readable ones
  /// @param broken the bytes are no record: see CsvBatch
  virtual void read(Row& row, bool broken, Desk& desk) const = 0;
  /// @param names of columns in lower case
  [[nodiscard]] virtual std::unique_ptr<PassedReader> passed(const std::vector<std::string>& names) const = 0;
};

}  // namespace agonic::exchange
