// A document of rows, CSV or JSON, as texts by column, and the same rows going out with what was added.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "model/desk/desk.hpp"

namespace agonic::desk {

struct Row {
  std::uint64_t row = 0;           ///< from 1
  std::uint64_t line = 0;          ///< of the file from 1; 0 in JSON
  std::vector<std::string> cells;  ///< one a name; empty where there is none
  std::string object;              ///< as it came, one JSON object; empty in CSV
  std::optional<Problem> problem;  ///< the row as a whole could not be read
};

struct Table {
  std::vector<std::string> names;
  std::vector<Row> rows;
  char delimiter = ',';
  char decimal_mark = '.';
  /// The trimmed cell; nothing where it is blank or the column is missing.
  [[nodiscard]] std::optional<std::string_view> cell(const Row& row, std::string_view name) const;
  [[nodiscard]] bool has(std::string_view name) const;
};

/// What a document of one kind of work is made of.
struct TableKind {
  std::string_view rows_name;                ///< the JSON member that holds the rows
  std::span<const std::string_view> needed;  ///< columns without which there is nothing to do
  std::span<const std::string_view> known;   ///< columns that are read, the needed ones among them
};

/// No document has more rows.
inline constexpr std::size_t kMostRows = 20000;

/// Refuses too many columns, two of one name, one that is nearly a known one, and the lack of a needed one.
std::optional<Problem> check_names(const std::vector<std::string>& names, const TableKind& kind);

/// Reads a document. JSON members beside the rows become parameters, unless given twice.
Result<Table> read_table(const Request& request, const TableKind& kind, Parameters& parameters);

/// A number, as the table writes it. Code::not_a_number names the column.
Result<double> number(const Table& table, std::string_view text, std::string_view name);
/// A parameter that is a number; `fallback` where it is not given.
Result<double> number(const Parameters& parameters, std::string_view name, double fallback);

/// A value added to a row; nothing is a blank cell, or null.
using Value = std::variant<std::monostate, double, std::string, std::vector<std::string>>;
using Added = std::vector<std::pair<std::string_view, Value>>;  ///< the same names in the same order on every row
Value value_of(const std::optional<double>& number);

/// The rows as they came with what was added: CSV in the table's own delimiter and decimal mark.
std::string rows_csv(const Table& table, const std::vector<Added>& added);
/// The same as the text of a JSON array.
std::string rows_json(const Table& table, const std::vector<Added>& added);

}  // namespace agonic::desk
