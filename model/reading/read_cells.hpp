// Typed reads of single cells, with the default of the column behind each.
#pragma once

#include <optional>
#include <string_view>

#include "model/reading/columns.hpp"
#include "model/reading/reading.hpp"
#include "model/reading/rules.hpp"

namespace agonic::reading {

/// The cell that counts for a column: the row's own, or the default.
struct Effective {
  std::string_view text;  ///< trimmed; empty when there is none
  char mark = '.';
  bool from_default = false;
  bool is_number = false;  ///< a JSON number
  bool is_null = false;    ///< JSON null: known to be unknown
  explicit operator bool() const noexcept { return !text.empty(); }
};

/// The columns that have a default.
ColumnSet defaulted(const Rules& rules) noexcept;

/// Reads the cells of one row. Lives as long as the row and the rules.
class CellReader {
 public:
  CellReader(const Cells& cells, const Rules& rules) : CellReader(cells, rules, defaulted(rules)) {}
  /// @param defaults the columns that have one, see defaulted()
  CellReader(const Cells& cells, const Rules& rules, ColumnSet defaults)
      : cells_(cells), rules_(rules), present_(cells.touched() | defaults) {}

  [[nodiscard]] Effective get(Column column) const {
    return (present_ & bit(column)) != 0 ? get_present(column) : Effective();
  }
  /// False if none of these has a cell or a default.
  [[nodiscard]] bool any(ColumnSet columns) const { return (present_ & columns) != 0; }
  /// Only the row's own cell: what is asked when a filled cell must refuse the row. The word `unknown` for a
  /// declination set or applied fills nothing, as null in JSON.
  [[nodiscard]] bool own(Column column) const { return (cells_.touched() & bit(column)) != 0 && own_touched(column); }
  [[nodiscard]] TextRules text_rules(const Effective& cell) const { return {cell.mark, rules_.letters.o}; }
  [[nodiscard]] const Rules& rules() const { return rules_; }

  /// A number in [low, high]; empty cell: empty optional.
  [[nodiscard]] Result<std::optional<double>> number(Column column, double low, double high) const;
  [[nodiscard]] Result<bool> yes(Column column) const;
  /// A declination or G-M angle. The word `unknown` and null refuse with set_declination_unknown for what was set or
  /// applied; for what was observed they mean that nothing was.
  [[nodiscard]] Result<std::optional<double>> declination(Column column) const;
  /// The same, where a map's note may stand: its answer at `decimal_year`.
  [[nodiscard]] Result<std::optional<WrittenDeclination>> written_declination(Column column, double decimal_year) const;
  [[nodiscard]] Result<std::optional<Date>> date(Column column) const;

 private:
  [[nodiscard]] Effective get_present(Column column) const;
  [[nodiscard]] bool own_touched(Column column) const;
  [[nodiscard]] DeclinationReading declination_reading(Column column, const Effective& cell) const;
  const Cells& cells_;
  const Rules& rules_;
  ColumnSet present_;
};

using MaybeProblem = std::optional<Problem>;

/// A column is filled that has no meaning for this kind of row.
Problem not_applicable(Column column, const Effective& cell, std::string message, std::string remedy);

}  // namespace agonic::reading
