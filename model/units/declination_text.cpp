#include "model/units/declination_text.hpp"

#include <cmath>
#include <optional>

#include "model/units/dms.hpp"
#include "model/units/number.hpp"

namespace agonic {
namespace {

enum class Side { none, east, west, o };

struct SidedText {
  std::string_view number;
  Side side = Side::none;
  bool twice = false;
};

// Takes a letter or word for the side off one end of the text.
Side take_side(std::string_view& text, bool front) {
  struct Name {
    std::string_view name;
    Side side;
  };
  for (const Name& name : {Name{"east", Side::east}, Name{"west", Side::west}, Name{"e", Side::east},
                           Name{"w", Side::west}, Name{"o", Side::o}}) {
    if (text.size() < name.name.size()) continue;
    const auto piece = front ? text.substr(0, name.name.size()) : text.substr(text.size() - name.name.size());
    if (!starts_with_nocase(piece, name.name)) continue;
    if (front)
      text.remove_prefix(name.name.size());
    else
      text.remove_suffix(name.name.size());
    text = trim(text);
    return name.side;
  }
  return Side::none;
}

SidedText split_side(std::string_view text) {
  SidedText out{trim(text)};
  const Side before = take_side(out.number, true);
  const Side after = take_side(out.number, false);
  out.twice = before != Side::none && after != Side::none;
  out.side = before != Side::none ? before : after;
  return out;
}

std::string side_letter(double degrees) { return degrees < 0 ? " W" : degrees > 0 ? " E" : ""; }

}  // namespace

Result<double> parse_declination(std::string_view raw, const DeclinationReading& how) {
  const auto problem = [&](Code code, std::string message, std::string remedy) {
    return Problem{code, std::string(how.field), std::string(raw), std::move(message), std::move(remedy)};
  };
  if (const auto plain = plain_decimal(trim(raw), how.decimal_mark))
    if (std::abs(*plain) <= 180 && (*plain <= 0 || how.unsigned_means == UnsignedMeans::east)) return *plain + 0.0;
  // In ASCII first: a typographic minus is a sign like the other one.
  const std::string ascii = ascii_angle(raw);
  std::string_view text = trim(ascii);
  if (text.empty()) return problem(Code::missing_value, "the declination is missing", "Give it as 13.7W, -13.7 or 0");

  // Our own output form holds the number a second time; both must agree.
  std::optional<double> beside;
  if (text.back() == ')') {
    if (const auto open = text.rfind('('); open != std::string_view::npos) {
      beside = parse_number(text.substr(open + 1, text.size() - open - 2), how.decimal_mark);
      if (beside) text = trim(text.substr(0, open));
    }
  }

  const SidedText sided = split_side(text);
  if (sided.twice) return problem(Code::declination_sign, "two letters for the side", "Keep one of them");
  auto magnitude = parse_degrees(sided.number, how.decimal_mark, how.field);
  if (!magnitude) {
    Problem inner = magnitude.problem();
    inner.value = std::string(raw);
    if (inner.code != Code::sixtieths) inner.remedy = "Give it as 13.7W, 13°42'W, -13.7 or 0";
    return inner;
  }
  const double number = magnitude->degrees;
  const bool minus = sided.number.front() == '-';
  const bool plus = sided.number.front() == '+';
  const std::string size = format_trimmed(std::abs(number), 6);

  double degrees = number;
  if (sided.side == Side::o && how.letter_o == LetterO::undeclared)
    return problem(
        Code::declination_sign,
        "O is west in some languages (oeste, ouest) and east in others (Ost): " + size + " W or " + size + " E",
        "Write W or E, or declare the language with letters (es, fr, it, pt, de, nl)");
  const bool west = sided.side == Side::west || (sided.side == Side::o && how.letter_o == LetterO::west);
  if (sided.side != Side::none) {
    if (minus || (plus && west))
      return problem(Code::declination_sign,
                     "a sign and a letter that do not go together: " + size + " W or " + size + " E",
                     "Keep the letter and drop the sign");
    degrees = west ? -number : number;
  } else if (!minus && !plus && number != 0 && how.unsigned_means == UnsignedMeans::refused) {
    return problem(Code::declination_unsigned, "east or west is not said: " + size + " E or " + size + " W",
                   "Write " + size + "E or +" + size + ", " + size + "W or -" + size);
  }
  if (std::abs(degrees) > 180)
    return problem(Code::out_of_range, "a declination lies between -180 and 180 degrees",
                   degrees > 180 && degrees < 360 ? "If " + size + " is what the circle shows at its index, that is " +
                                                        format_trimmed(360 - degrees, 6) + "W"
                                                  : "Look the value up again");
  if (beside && std::abs(*beside - degrees) > 0.006)
    return problem(Code::declination_sign, "the number in brackets says another declination", "Keep one of the two");
  return degrees + 0.0;
}

std::string declination_side_text(double degrees, int decimals) {
  const std::string number = format_fixed(std::abs(degrees), decimals);
  const bool zero = number.find_first_not_of("0.") == std::string::npos;
  return number + (zero ? "" : side_letter(degrees));
}

std::string declination_text(double degrees, int decimals) {
  const std::string number = format_fixed(std::abs(degrees), decimals);
  const bool zero = number.find_first_not_of("0.") == std::string::npos;
  return declination_side_text(degrees, decimals) + " (" + (zero ? "" : degrees < 0 ? "-" : "+") + number + ")";
}

}  // namespace agonic
