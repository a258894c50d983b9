// One row on its way from bytes to bytes.
#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/reading/columns.hpp"
#include "model/units/problem.hpp"

namespace agonic::exchange {

/// Reused from window to window. The cells point into `raw` and `texts`, so a row is never copied.
struct Row {
  std::string raw;         ///< the row as it came, without its line ending
  std::string ending;      ///< the line ending; JSON: empty
  std::uint64_t line = 0;  ///< where it begins; 0 where the format has no lines
  reading::Cells cells;
  std::deque<std::string> texts;         ///< values that had to be unescaped or unquoted
  std::vector<std::string_view> fields;  ///< CSV: every cell's value, in the order of the header
  bool blank = false;                    ///< an empty line: passed through, no row
  std::optional<Problem> problem;        ///< the row cannot be read at all
  bool splice = false;                   ///< JSON: `raw` is an object that members can be added to
  std::size_t insert_at = 0;             ///< JSON: where, in `raw`
  bool insert_first = false;             ///< JSON: into an object without members

  Row() = default;
  Row(const Row&) = delete;
  Row& operator=(const Row&) = delete;
  void clear();
  /// Keeps a value as long as the row lives.
  std::string_view keep(std::string text) { return texts.emplace_back(std::move(text)); }
};

}  // namespace agonic::exchange
