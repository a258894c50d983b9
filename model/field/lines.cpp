#include "model/field/lines.hpp"

#include <charconv>
#include <cmath>

#include "model/units/number.hpp"

namespace agonic::field {
namespace {
// std::from_chars takes no plus sign.
std::string_view without_plus(std::string_view word) {
  if (word.size() > 1 && word[0] == '+' && word[1] != '-') word.remove_prefix(1);
  return word;
}
}  // namespace

bool Lines::next() {
  if (rest_.empty()) return false;
  const auto end = rest_.find('\n');
  line_ = rest_.substr(0, end);
  rest_.remove_prefix(end == std::string_view::npos ? rest_.size() : end + 1);
  if (!line_.empty() && line_.back() == '\r') line_.remove_suffix(1);
  words_ = line_;
  ++number_;
  return true;
}

std::string_view Lines::word() {
  std::size_t begin = 0;
  while (begin < words_.size() && (words_[begin] == ' ' || words_[begin] == '\t')) ++begin;
  std::size_t end = begin;
  while (end < words_.size() && words_[end] != ' ' && words_[end] != '\t') ++end;
  const std::string_view found = words_.substr(begin, end - begin);
  words_.remove_prefix(end);
  return found;
}

double Lines::number(std::string_view what) {
  const std::string_view found = word();
  if (found.empty()) fail("the line ends where " + std::string(what) + " is expected");
  const std::string_view digits = without_plus(found);
  double value = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (error != std::errc() || end != digits.data() + digits.size() || !std::isfinite(value)) {
    fail(std::string(what) + " is expected, not '" + printable(found) + "'");
  }
  return value;
}

int Lines::integer(std::string_view what) {
  const std::string_view found = word();
  if (found.empty()) fail("the line ends where " + std::string(what) + " is expected");
  const std::string_view digits = without_plus(found);
  int value = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (error != std::errc() || end != digits.data() + digits.size()) {
    fail(std::string(what) + " is expected, not '" + printable(found) + "'");
  }
  return value;
}

void Lines::end_of_line() {
  const std::string_view found = word();
  if (!found.empty()) fail("nothing more is expected on this line, but there is '" + printable(found) + "'");
}

void Lines::fail(const std::string& what) const { throw BadCoefficients(file_, number_, what); }

}  // namespace agonic::field
