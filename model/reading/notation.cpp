#include "model/reading/notation.hpp"

#include <array>
#include <cmath>

#include "model/units/angle.hpp"
#include "model/units/dms.hpp"
#include "model/units/number.hpp"

namespace agonic::reading {
namespace {

Problem problem(Code code, std::string_view field, std::string_view value, std::string message, std::string remedy) {
  return {code, std::string(field), std::string(value), std::move(message), std::move(remedy)};
}

bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }
char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c; }

constexpr std::array<std::string_view, 16> kPoints{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
                                                   "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"};

Problem letter_o_problem(std::string_view field, std::string_view value) {
  return problem(Code::place_ambiguous, field, value,
                 "O is west in some languages (oeste, ouest) and east in others (Ost)",
                 "Write E or W, or declare the language with letters (es, fr, it, pt, de, nl)");
}

double full_circle(AzimuthUnit unit) {
  switch (unit) {
    case AzimuthUnit::deg:
      return 360;
    case AzimuthUnit::gon:
      return 400;
    case AzimuthUnit::mil6400:
      return 6400;
    case AzimuthUnit::mil6300:
      return 6300;
    case AzimuthUnit::mil6000:
      return 6000;
  }
  return 360;
}

// Degrees, halves, quarters, tenths, 5 minutes, twentieths, minutes, hundredths; what is finer counts as thousandths.
double step_of(double value) noexcept {
  constexpr double kRounding = 1e-6;
  for (const double parts : {1.0, 2.0, 4.0, 10.0, 12.0, 20.0, 60.0, 100.0})
    if (std::abs(value * parts - std::nearbyint(value * parts)) < kRounding * parts) return 1 / parts;
  return 0.001;
}

Result<AzimuthText> parse_quadrant(std::string_view text, std::string_view raw, const TextRules& rules) {
  const char first = upper(text.front());
  if (text.size() == 1) {
    if (const auto point = compass_point(text, rules.letter_o)) return AzimuthText{*point, {true, false, false}, 1};
    if (first == 'O') return letter_o_problem("azimuth", raw);
  }
  const char last = upper(text.back());
  if (first != 'N' && first != 'S')
    return problem(Code::not_a_number, "azimuth", raw, "a quadrant bearing begins with N or S and ends with E or W",
                   "Write it as N35E, or as degrees from 0 to 360");
  if (last == 'O' && rules.letter_o == LetterO::undeclared) return letter_o_problem("azimuth", raw);
  const bool east = last == 'E' || (last == 'O' && rules.letter_o == LetterO::east);
  if (!east && last != 'W' && last != 'O')
    return problem(Code::not_a_number, "azimuth", raw, "a quadrant bearing begins with N or S and ends with E or W",
                   "Write it as N35E, or as degrees from 0 to 360");
  auto angle = parse_degrees(trim(text.substr(1, text.size() - 2)), rules.decimal_mark, "azimuth");
  if (!angle) {
    Problem inner = angle.problem();
    inner.value = std::string(raw);
    return inner;
  }
  if (angle->degrees < 0 || angle->degrees > 90)
    return problem(Code::quadrant_out_of_range, "azimuth", raw, "a quadrant angle lies between 0 and 90 degrees",
                   "Look it up in the notebook; a whole-circle azimuth is written without letters");
  const double q = angle->degrees;
  const double azimuth = first == 'N' ? (east ? q : 360 - q) : (east ? 180 - q : 180 + q);
  return AzimuthText{wrap_360(azimuth), {true, angle->had_minutes, angle->had_seconds}, step_of(q)};
}

}  // namespace

Result<AzimuthUnit> parse_azimuth_unit(std::string_view text) {
  const std::string word = lower(trim(text));
  if (word.empty() || word == "deg") return AzimuthUnit::deg;
  if (word == "gon") return AzimuthUnit::gon;
  if (word == "mil6400") return AzimuthUnit::mil6400;
  if (word == "mil6300") return AzimuthUnit::mil6300;
  if (word == "mil6000") return AzimuthUnit::mil6000;
  return problem(
      Code::unknown_name, "azimuth_unit", text,
      starts_with_nocase(word, "mil") ? "a circle has 6400, 6300 or 6000 mils, by country" : "this unit is not known",
      "Give deg, gon, mil6400, mil6300 or mil6000");
}

Result<VerticalUnit> parse_vertical_unit(std::string_view text) {
  const std::string word = lower(trim(text));
  if (word.empty() || word == "deg") return VerticalUnit::deg;
  if (word == "gon") return VerticalUnit::gon;
  if (word == "percent") return VerticalUnit::percent;
  return problem(Code::unknown_name, "vertical_unit", text, "this unit is not known", "Give deg, gon or percent");
}

Result<AzimuthText> parse_azimuth(std::string_view raw, AzimuthUnit unit, const TextRules& rules) {
  const std::string_view text = trim(raw);
  if (text.empty())
    return problem(Code::missing_value, "azimuth", "", "the azimuth is missing", "Give it in degrees or as N35E");
  if (is_letter(text.front())) {
    if (unit != AzimuthUnit::deg)
      return problem(Code::contradiction, "azimuth", raw, "a quadrant bearing is in degrees, the unit says otherwise",
                     "Leave azimuth_unit blank on this row");
    return parse_quadrant(text, raw, rules);
  }
  AzimuthText out;
  if (unit == AzimuthUnit::deg) {
    auto angle = parse_degrees(text, rules.decimal_mark, "azimuth");
    if (!angle) {
      Problem inner = angle.problem();
      inner.value = std::string(raw);
      return inner;
    }
    out = {angle->degrees, {false, angle->had_minutes, angle->had_seconds}, step_of(angle->degrees)};
  } else {
    const auto number = parse_number(text, rules.decimal_mark);
    if (!number)
      return problem(Code::not_a_number, "azimuth", raw, "this is no number",
                     "Give the azimuth as a plain number in its unit");
    if (*number < 0 || *number > full_circle(unit))
      return problem(Code::reading_out_of_range, "azimuth", raw,
                     "an azimuth in this unit lies between 0 and " + format_trimmed(full_circle(unit), 0),
                     "Check azimuth_unit");
    out.degrees = *number * 360 / full_circle(unit);
    out.step_deg = step_of(*number) * 360 / full_circle(unit);
  }
  if (out.degrees < 0 || out.degrees > 360)
    return problem(Code::reading_out_of_range, "azimuth", raw, "an azimuth lies between 0 and 360 degrees",
                   out.degrees > 360 && out.degrees <= 400 ? "If it was read in gon, say azimuth_unit gon"
                   : out.degrees > 360 ? "If it was read in mils, say azimuth_unit mil6400 (or mil6300, mil6000)"
                                       : "Add 360, or look it up in the notebook");
  return out;
}

std::string quadrant_text(double azimuth_deg, const AzimuthStyle& style) {
  double azimuth = wrap_360(azimuth_deg);
  // Rounded before the quadrant is told, so that 89.9996 becomes N90E and 180.0004 S0E.
  const double steps = style.seconds ? 3600 : style.minutes ? 60 : 1000;
  azimuth = std::nearbyint(azimuth * steps) / steps;
  if (azimuth >= 360) azimuth = 0;
  const bool north = azimuth <= 90 || azimuth >= 270;
  const bool east = azimuth <= 180;
  const double q = north ? (east ? azimuth : 360 - azimuth) : (east ? 180 - azimuth : azimuth - 180);
  std::string angle;
  if (style.minutes || style.seconds) {
    const auto units = static_cast<long>(std::lround(q * (style.seconds ? 3600 : 60)));
    const long per_degree = style.seconds ? 3600 : 60;
    const auto two = [](long value) { return (value < 10 ? "0" : "") + std::to_string(value); };
    angle = std::to_string(units / per_degree) + "°" + two(style.seconds ? units % 3600 / 60 : units % 60) + "'";
    if (style.seconds) angle += two(units % 60) + "\"";
  } else {
    angle = format_trimmed(q);
  }
  return (north ? "N" : "S") + angle + (east ? "E" : "W");
}

std::optional<double> compass_point(std::string_view letters, LetterO letter_o) noexcept {
  if (letters.empty() || letters.size() > 3) return std::nullopt;
  std::array<char, 3> folded{};
  for (std::size_t i = 0; i < letters.size(); ++i) {
    folded[i] = upper(letters[i]);
    if (folded[i] == 'O') {
      if (letter_o == LetterO::undeclared) return std::nullopt;
      folded[i] = letter_o == LetterO::west ? 'W' : 'E';
    }
  }
  const std::string_view word(folded.data(), letters.size());
  for (std::size_t i = 0; i < kPoints.size(); ++i)
    if (kPoints[i] == word) return 22.5 * static_cast<double>(i);
  return std::nullopt;
}

std::string_view nearest_point(double azimuth_deg) noexcept {
  const auto eighth = static_cast<std::size_t>(std::floor(wrap_360(azimuth_deg + 22.5) / 45)) % 8;
  return kPoints[eighth * 2];
}

Result<LetteredAngle> parse_lettered(std::string_view raw, std::string_view field, const TextRules& rules) {
  std::string_view text = trim(raw);
  LetteredAngle out;
  std::size_t letters = 0;
  while (letters < text.size() && is_letter(text[text.size() - 1 - letters])) ++letters;
  // "40d" is a number with its unit, not a letter: parse_degrees tells.
  const bool unit = letters == 1 && upper(text.back()) == 'D';
  if (letters > 0 && letters < text.size() && !unit) {
    out.letters = std::string(text.substr(text.size() - letters));
    const bool has_o = out.letters.find_first_of("oO") != std::string::npos;
    const auto point = compass_point(out.letters, rules.letter_o);
    if (!point && has_o && rules.letter_o == LetterO::undeclared) return letter_o_problem(field, raw);
    if (!point)
      return problem(Code::not_a_number, field, raw, "'" + printable(out.letters) + "' is no compass point",
                     "Write it as 40SE, with N, NE, E, SE, S, SW, W or NW");
    out.toward_deg = point;
    text = trim(text.substr(0, text.size() - letters));
  }
  auto angle = parse_degrees(text, rules.decimal_mark, field);
  if (!angle) {
    Problem inner = angle.problem();
    inner.value = std::string(raw);
    return inner;
  }
  out.degrees = angle->degrees;
  return out;
}

Result<double> parse_inclined(std::string_view raw, VerticalUnit unit, std::string_view field, const TextRules& rules) {
  const std::string_view text = trim(raw);
  if (unit == VerticalUnit::deg) {
    auto angle = parse_degrees(text, rules.decimal_mark, field);
    if (!angle) {
      Problem inner = angle.problem();
      inner.value = std::string(raw);
      return inner;
    }
    return angle->degrees;
  }
  const bool percent_sign = !text.empty() && text.back() == '%' && unit == VerticalUnit::percent;
  const auto number = parse_number(percent_sign ? text.substr(0, text.size() - 1) : text, rules.decimal_mark);
  if (!number)
    return problem(Code::not_a_number, field, raw, "this is no number", "Give it as a plain number in its unit");
  if (unit == VerticalUnit::gon) return *number * 0.9;
  return std::atan(*number / 100) / kDegree;
}

}  // namespace agonic::reading
