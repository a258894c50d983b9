// The rows of a text table in tests/reference: words apart by blanks, after the header lines `name:` to `columns:`.
#pragma once

#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace agonic {

inline std::vector<std::vector<std::string>> reference_rows(const std::string& file) {
  std::ifstream in(std::string(AGONIC_SOURCE_DIR) + "/tests/reference/" + file);
  if (!in) throw std::runtime_error("no such table: " + file);
  std::vector<std::vector<std::string>> rows;
  bool data = false, source = false;
  for (std::string line; std::getline(in, line);) {
    if (data) {
      std::istringstream words(line);
      std::vector<std::string> row;
      for (std::string word; words >> word;) row.push_back(word);
      if (!row.empty()) rows.push_back(std::move(row));
    }
    source |= line.starts_with("source: ");
    data |= line.starts_with("columns: ");
  }
  if (rows.empty() || !source) throw std::runtime_error("no rows or no source in " + file);
  return rows;
}

/// What stands after `tolerance:` in the table.
inline double reference_tolerance(const std::string& file) {
  std::ifstream in(std::string(AGONIC_SOURCE_DIR) + "/tests/reference/" + file);
  for (std::string line; std::getline(in, line);)
    if (line.starts_with("tolerance: ")) return std::stod(line.substr(11));
  throw std::runtime_error("no tolerance in " + file);
}

}  // namespace agonic
