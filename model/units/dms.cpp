#include "model/units/dms.hpp"

#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "model/units/number.hpp"

namespace agonic {
namespace {

struct Sign {
  std::string_view written;
  char ascii;
};
constexpr std::array kSigns{
    Sign{"\u00B0", '*'},  Sign{"\u00BA", '*'},  Sign{"\u02DA", '*'},  Sign{"\u2070", '*'},   // ring signs, raised zero
    Sign{"\u2032", '\''}, Sign{"\u2019", '\''}, Sign{"\u2018", '\''}, Sign{"\u02B9", '\''},  // ′ ’ ‘ ʹ
    Sign{"\u00B4", '\''}, Sign{"\u02BC", '\''}, Sign{"`", '\''},                             // ´ ʼ
    Sign{"\u2033", '"'},  Sign{"\u201D", '"'},  Sign{"\u201C", '"'},  Sign{"\u02BA", '"'},   // ″ ” “ ʺ
    Sign{"\u2212", '-'},  Sign{"\u2010", '-'},  Sign{"\u2011", '-'},  Sign{"\u2013", '-'},   // minus, hyphens, dash
    Sign{"\u00A0", ' '},  Sign{"\u2009", ' '},  Sign{"\u202F", ' '},  Sign{"\uFEFF", ' '},   // spaces
};

bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }

constexpr std::size_t kLongestNumber = 40;

// One of the parts, with its place among degrees (0), minutes (1) and seconds (2).
struct Part {
  std::string_view text;
  double value = 0;
  int unit = 0;
  bool fraction = false;
};

constexpr std::string_view kExamples = "Write it as 71.35, 71\u00B021', 71 21 0 or 71:21:00.";

Problem unreadable(std::string_view text, std::string_view field, std::string message) {
  return {Code::not_a_number, std::string(field), std::string(text), std::move(message), std::string(kExamples)};
}

// The unit that a sign or word behind a number names; -1 for none.
int unit_of(std::string_view name) noexcept {
  if (name == "*" || name == "d" || name == "D" || name == "deg") return 0;
  if (name == "'" || name == "m" || name == "M" || name == "min") return 1;
  if (name == "\"" || name == "s" || name == "S" || name == "sec") return 2;
  return -1;
}

// Takes the parts apart; empty where the text is none of the accepted forms.
std::optional<std::vector<Part>> parts_of(std::string_view text, char mark) {
  std::vector<Part> parts;
  const bool colons = text.find(':') != std::string_view::npos;
  std::size_t at = 0;
  const auto skip_spaces = [&] {
    while (at < text.size() && (text[at] == ' ' || text[at] == '\t')) ++at;
  };
  while (at < text.size()) {
    if (parts.size() == 3) return std::nullopt;
    const std::size_t start = at;
    bool fraction = false;
    while (at < text.size() && (is_digit(text[at]) || (text[at] == mark && !fraction))) fraction |= text[at++] == mark;
    Part part{text.substr(start, at - start), 0, parts.empty() ? 0 : parts.back().unit + 1, fraction};
    const auto value = parse_number(part.text, mark);
    if (!value || part.text.size() > kLongestNumber) return std::nullopt;
    part.value = *value;
    if (colons) {
      if (at < text.size() && (text[at] != ':' || ++at == text.size())) return std::nullopt;
    } else {
      const std::size_t after_number = at;
      skip_spaces();
      std::size_t end = at;
      if (end < text.size() && !is_digit(text[end]) && text[end] != mark) {
        const bool word = (text[end] | 0x20) >= 'a' && (text[end] | 0x20) <= 'z';
        do ++end;
        while (word && end < text.size() && (text[end] | 0x20) >= 'a' && (text[end] | 0x20) <= 'z');
        const int unit = unit_of(text.substr(at, end - at));
        if (unit < part.unit) return std::nullopt;  // no unit, or one that has been before
        part.unit = unit;
        at = end;
        skip_spaces();
      } else if (at < text.size() && at == after_number) {
        return std::nullopt;  // a second decimal mark
      }
    }
    if (part.unit > 2) return std::nullopt;
    parts.push_back(part);
  }
  for (std::size_t i = 0; i + 1 < parts.size(); ++i)
    if (parts[i].fraction) return std::nullopt;
  if (parts.empty()) return std::nullopt;
  return parts;
}

// A value below 60 is shown with two figures before the point, as minutes are.
std::string two_figures(double value) {
  std::string text = value < 10 ? "0" : "";
  text += format_trimmed(value, 6);
  return text;
}

Problem sixtieths(std::string_view original, std::string_view field, bool negative, const std::array<double, 3>& dms,
                  const std::vector<Part>& parts) {
  const std::string sign = negative ? "-" : "";
  // The digits as decimals of a degree ...
  std::string decimal = sign + (parts.front().unit == 0 ? std::string(parts.front().text) : "0") + '.';
  for (const Part& part : parts)
    if (part.unit > 0)
      for (const char c : part.text)
        if (is_digit(c)) decimal += c;
  // ... and as sixtieths carried over.
  const bool seconds = parts.back().unit == 2;
  const double step = seconds ? 3600 : 60;
  const double total = std::round((dms[0] * step + dms[1] * step / 60 + dms[2]) * 1e6) / 1e6;
  const double degrees = std::floor(total / step);
  const double rest = total - degrees * step;
  std::string carried = sign + format_trimmed(degrees, 0) + "\u00B0";
  if (seconds)
    carried += two_figures(std::floor(rest / 60)) + "'" + two_figures(rest - 60 * std::floor(rest / 60)) + "\"";
  else
    carried += two_figures(rest) + "'";
  return {Code::sixtieths, std::string(field), std::string(original),
          "there are only 60 minutes in a degree and 60 seconds in a minute; this may mean " + decimal +
              " degrees, or " + carried,
          "Write the one that is meant."};
}

}  // namespace

std::string ascii_angle(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  bool after_ascii = true;
  std::size_t at = 0;
  while (at < text.size()) {
    std::size_t length = 1;
    char c = text[at];
    // Every other sign begins with a byte that is not ASCII.
    if (static_cast<unsigned char>(c) >= 0x80 || c == '`')
      for (const Sign& sign : kSigns)
        if (text.substr(at, sign.written.size()) == sign.written) {
          c = sign.ascii;
          length = sign.written.size();
          break;
        }
    if (length == 1 && after_ascii && (c == '\xB0' || c == '\xBA')) c = '*';
    if (c == '\'' && !out.empty() && out.back() == '\'') {
      out.back() = '"';
    } else {
      out += c;
    }
    after_ascii = static_cast<unsigned char>(c) < 0x80;
    at += length;
  }
  return out;
}

Result<Sexagesimal> parse_degrees(std::string_view original, char mark, std::string_view field) {
  if (const auto plain = plain_decimal(trim(original), mark)) return Sexagesimal{*plain, false, false};
  const std::string ascii = ascii_angle(original);
  std::string_view text = trim(ascii);
  if (text.empty()) return unreadable(original, field, "an angle is missing here");

  // What a program writes for a very small number: 1e-05. Without its sign the letter may be a direction.
  if (const auto e = text.find_first_of("eE"); e != std::string_view::npos && e + 1 < text.size())
    if (text[e + 1] == '-')
      if (const auto value = parse_number(text, mark)) return Sexagesimal{*value, false, false};

  bool negative = false;
  if (text.front() == '-' || text.front() == '+') {
    negative = text.front() == '-';
    text = trim(text.substr(1));
  }
  const auto parts = parts_of(text, mark);
  if (!parts) {
    const char other = mark == ',' ? '.' : ',';
    if (parts_of(text, other))
      return unreadable(original, field, std::string("the decimal mark here is '") + mark + "', not '" + other + "'");
    return unreadable(original, field, "this is not an angle in degrees, minutes and seconds");
  }
  std::array<double, 3> dms{};
  Sexagesimal result;
  for (const Part& part : *parts) {
    dms[static_cast<std::size_t>(part.unit)] = part.value;
    result.had_minutes |= part.unit == 1;
    result.had_seconds |= part.unit == 2;
  }
  if (dms[1] >= 60 || dms[2] >= 60) return sixtieths(original, field, negative, dms, *parts);
  // One division only, so that the result is the nearest double in nearly all cases.
  result.degrees = dms[2] != 0   ? (60 * (60 * dms[0] + dms[1]) + dms[2]) / 3600
                   : dms[1] != 0 ? (60 * dms[0] + dms[1]) / 60
                                 : dms[0];
  if (!std::isfinite(result.degrees)) return unreadable(original, field, "this is not an angle");
  if (negative) result.degrees = -result.degrees;
  return result;
}

}  // namespace agonic
