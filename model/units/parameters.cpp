#include "model/units/parameters.hpp"

#include <algorithm>
#include <vector>

#include "model/units/number.hpp"

namespace agonic {
namespace {

// Levenshtein distance: how many letters are wrong.
std::size_t distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({above + 1, row[j - 1] + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1)});
      diagonal = above;
    }
  }
  return row[b.size()];
}

}  // namespace

std::optional<std::string_view> Parameters::get(std::string_view name) const {
  const auto it = values.find(name);
  if (it == values.end() || trim(it->second).empty()) return std::nullopt;
  return trim(it->second);
}

std::optional<Problem> Parameters::unknown(std::initializer_list<std::string_view> known) const {
  for (const auto& [name, value] : values) {
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    std::string_view nearest;
    std::size_t best = std::min<std::size_t>(4, name.size() / 3 + 1);  // more letters off is no misspelling
    for (std::string_view candidate : known)
      if (const auto d = distance(printable(name, 40), candidate); d < best) best = d, nearest = candidate;
    std::string all;
    for (std::string_view candidate : known) all += (all.empty() ? "" : ", ") + std::string(candidate);
    return Problem{Code::unknown_name, printable(name, 40), value, "there is no parameter of this name",
                   nearest.empty() ? "Known are: " + all : "Did you mean " + std::string(nearest) + "?"};
  }
  return std::nullopt;
}

}  // namespace agonic
