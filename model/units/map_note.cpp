#include "model/units/map_note.hpp"

#include <string>

#include "model/units/dms.hpp"
#include "model/units/number.hpp"

namespace agonic {
namespace {

bool digit(char c) { return c >= '0' && c <= '9'; }

// Where a free-standing year (1500 to 2199, optionally with decimals) begins; npos if there is none.
std::size_t find_year(std::string_view text) noexcept {
  for (std::size_t i = 1; i + 4 <= text.size(); ++i) {
    // The comma of 8,1750 is a decimal mark, that of 8°40'W,2009 is none.
    const bool comma = text[i - 1] == ',' && i > 1 && !digit(text[i - 2]);
    const bool apart = text[i - 1] == ' ' || text[i - 1] == '(' || comma;
    if (!apart || !digit(text[i]) || !digit(text[i + 1]) || !digit(text[i + 2]) || !digit(text[i + 3])) continue;
    const char after = i + 4 < text.size() ? text[i + 4] : ' ';
    if (digit(after)) continue;
    const int year =
        (text[i] - '0') * 1000 + (text[i + 1] - '0') * 100 + (text[i + 2] - '0') * 10 + (text[i + 3] - '0');
    if (year >= 1500 && year < 2200) return i;
  }
  return std::string_view::npos;
}

// "1'W a year" without its tail.
std::string_view without_per_year(std::string_view text) {
  for (std::string_view tail :
       {"a year", "per year", "each year", "yearly", "annually", "/year", "/yr", "per yr", "a yr"})
    if (text.size() >= tail.size() && starts_with_nocase(text.substr(text.size() - tail.size()), tail))
      return trim(text.substr(0, text.size() - tail.size()));
  return text;
}

}  // namespace

bool looks_like_map_note(std::string_view text) noexcept { return find_year(text) != std::string_view::npos; }

Result<MapNote> parse_map_note(std::string_view raw, const DeclinationReading& how) {
  const auto problem = [&](std::string message) {
    return Problem{Code::not_a_number, std::string(how.field), std::string(raw), std::move(message),
                   "Write a map note as 8°40'W 2009, 1'W a year"};
  };
  const auto at = find_year(raw);
  if (at == std::string_view::npos) return problem("a map note needs its year");
  std::size_t end = at + 4;
  if (end + 1 < raw.size() && raw[end] == '.' && digit(raw[end + 1]))
    for (++end; end < raw.size() && digit(raw[end]);) ++end;
  MapNote note;
  const auto year_text = raw.substr(at, end - at);
  note.year = *parse_number(year_text) + (year_text.size() == 4 ? 0.5 : 0.0);

  std::string_view before = trim(raw.substr(0, at));
  while (!before.empty() && (before.back() == '(' || before.back() == ',' || before.back() == ';'))
    before = trim(before.substr(0, before.size() - 1));
  DeclinationReading strict = how;
  strict.unsigned_means = UnsignedMeans::refused;  // a note without its side means nothing
  auto declination = parse_declination(before, strict);
  if (!declination) {
    Problem inner = declination.problem();
    inner.value = std::string(raw);
    return inner;
  }
  note.declination_deg = *declination;

  std::string_view after = trim(raw.substr(end));
  while (!after.empty() && (after.front() == ')' || after.front() == ',' || after.front() == ';'))
    after = trim(after.substr(1));
  if (after.empty()) return note;
  after = without_per_year(after);
  const std::string plain = ascii_angle(after);
  if (plain.find_first_of("*'\"") == std::string::npos)
    return problem("the yearly change needs its unit: 1' and 1° differ sixtyfold");
  strict.field = how.field;
  auto change = parse_declination(plain, strict);
  if (!change) return problem("the yearly change cannot be read: " + change.problem().message);
  note.change_deg_per_year = *change;
  return note;
}

}  // namespace agonic
