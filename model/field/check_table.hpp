// Tables of published values, and their comparison with what the models give. coefficients/README.md describes the
// layout; the self-test runs those compiled in, the tests read more from their own folder.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "model/field/catalogue.hpp"
#include "model/field/selftest.hpp"

namespace agonic::field {

/// How far a computed value may lie from the printed one.
struct Tolerance {
  enum class Kind { last_digit, absolute, relative, per_row } kind = Kind::last_digit;
  double value = 0;  ///< of the value's unit (absolute) or of the value (relative)
};

/// One table as published. Cells stay text: their last digit matters.
struct CheckTable {
  std::string name;
  std::string model;  ///< an id, or `auto`
  std::string source;
  Tolerance tolerance;
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;
  int first_row_line = 0;
};

/// Throws BadCoefficients with file and line for unknown or missing keys and rows of a wrong length.
CheckTable read_check_table(const std::string& file, std::string_view text);

/// Computes every value of the table. Input columns: `date` (decimal year), `height_km`, `lat`, `lon`, `n`, `m`,
/// `tolerance`, and `station` and `observed_deg`, which are for people. All others are values; `-` is none.
/// Throws BadCoefficients for a column that cannot be computed; a date that no model serves counts as wrong.
SelftestRow run_check(const CheckTable& table, const Catalogue& catalogue);

}  // namespace agonic::field
