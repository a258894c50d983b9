#include "model/units/prose.hpp"

#include <algorithm>
#include <numeric>
#include <utility>
#include <vector>

namespace agonic {

std::size_t width_of(std::string_view text) noexcept {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string wrapped(std::string_view text, std::string_view first, std::string_view rest, std::size_t width) {
  std::string out, line(first);
  bool begun = false;  // a word stands on this line
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (begun && width_of(line) + 1 + width_of(word) > width) {
      out += line + '\n';
      line = rest;
      begun = false;
    }
    if (!line.empty() && line.back() != ' ') line += ' ';
    line += word;
    begun = true;
  }
  return out + line + '\n';
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t corner = std::exchange(row[0], i);
    for (std::size_t k = 1; k <= b.size(); ++k) {
      const std::size_t changed = corner + (a[i - 1] == b[k - 1] ? 0 : 1);
      corner = std::exchange(row[k], std::min({changed, row[k] + 1, row[k - 1] + 1}));
    }
  }
  return row.back();
}

std::string_view nearest_name(std::string_view word, std::span<const std::string_view> names) {
  constexpr std::size_t kSlip = 3;
  std::string_view best;
  std::size_t least = std::min(kSlip, word.size() / 2) + 1;
  for (const std::string_view name : names)
    if (const std::size_t off = edit_distance(word, name); off < least) {
      least = off;
      best = name;
    }
  return best;
}

}  // namespace agonic
