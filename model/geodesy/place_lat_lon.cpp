// Latitude and longitude: letters, signs and where one ends and the other begins.
#include <cmath>
#include <utility>
#include <vector>

#include "model/geodesy/place_parts.hpp"
#include "model/units/dms.hpp"
#include "model/units/number.hpp"

namespace agonic::geodesy {
namespace {

using Axis = Coordinate::Axis;

enum class Side { none, north, south, east, west, o };

struct SideName {
  std::string_view name;
  Side side;
};
// Letters, and the words of the languages parse_letters() knows; a whole word has one meaning only.
constexpr SideName kSides[] = {
    {"n", Side::north},     {"s", Side::south},     {"e", Side::east},     {"w", Side::west},    {"o", Side::o},
    {"north", Side::north}, {"south", Side::south}, {"east", Side::east},  {"west", Side::west}, {"norte", Side::north},
    {"nord", Side::north},  {"noord", Side::north}, {"sur", Side::south},  {"sud", Side::south}, {"sul", Side::south},
    {"zuid", Side::south},  {"este", Side::east},   {"est", Side::east},   {"ost", Side::east},  {"oost", Side::east},
    {"oeste", Side::west},  {"ouest", Side::west},  {"ovest", Side::west},
};

constexpr std::string_view kExamples =
    "Write it as 42.283 -71.35, 42\u00B017'N 71\u00B021'W, 19T 306300 4683600 or 19TCG0630083600.";
constexpr std::string_view kExamplesLat = "Write it as 42.283, 42\u00B016'59\"N or 42 16 59 N.";
constexpr std::string_view kExamplesLon = "Write it as -71.35, 71\u00B021'W or 71 21 0 W.";

std::string examples(const PlaceText& text) {
  return std::string(text.field == "lat" ? kExamplesLat : text.field == "lon" ? kExamplesLon : kExamples);
}

bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }
bool is_letter(char c) noexcept { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool is_unit(std::string_view low) noexcept {
  return low == "d" || low == "deg" || low == "m" || low == "min" || low == "sec";
}

Side side_of(std::string_view low) noexcept {
  for (const SideName& entry : kSides)
    if (entry.name == low) return entry.side;
  return Side::none;
}

// A run of letters: a unit, a side, or a unit with a side behind it, as the end of 42d17m30sN.
struct Run {
  std::size_t unit_length = 0;
  Side side = Side::none;
  bool known = false;
};
Run read_run(std::string_view letters) {
  const std::string low = lower(letters);
  if (is_unit(low)) return {low.size(), Side::none, true};
  if (const Side side = side_of(low); side != Side::none) return {0, side, true};
  for (const std::string_view unit : {"deg", "min", "sec", "d", "m", "s"})
    if (low.starts_with(unit))
      if (const Side side = side_of(std::string_view(low).substr(unit.size())); side != Side::none)
        return {unit.size(), side, true};
  return {};
}

// Whether the letter at the end of `text` may be the s of seconds: a number stands right before it, and before that
// the m of minutes in the same case.
bool may_be_seconds(std::string_view text) noexcept {
  const char s = text.back();
  std::size_t at = text.size() - 1;
  while (at > 0 && (is_digit(text[at - 1]) || text[at - 1] == '.' || text[at - 1] == ',')) --at;
  if (at == text.size() - 1) return false;
  while (at > 0 && text[at - 1] == ' ') --at;
  return at > 0 && text[at - 1] == (s == 's' ? 'm' : 'M');
}

struct Token {
  enum class Kind { number, sign, side, degree, unit };
  Kind kind;
  std::size_t begin;
  std::size_t end;
  bool space_before;
};

// Nothing where a character or a word has no business in a place.
std::optional<std::vector<Token>> tokens_of(std::string_view text, char mark) {
  using Kind = Token::Kind;
  std::vector<Token> tokens;
  std::size_t at = 0;
  bool space = false;
  const auto add = [&](Kind kind, std::size_t end) {
    tokens.push_back({kind, at, end, space});
    at = end;
    space = false;
  };
  while (at < text.size()) {
    const char c = text[at];
    if (c == ' ' || c == '\t') {
      space = true;
      ++at;
    } else if (is_digit(c) || c == mark) {
      std::size_t end = at;
      while (end < text.size() && (is_digit(text[end]) || text[end] == mark)) ++end;
      if (end + 2 < text.size() && (text[end] | 0x20) == 'e' && (text[end + 1] == '-' || text[end + 1] == '+') &&
          is_digit(text[end + 2])) {
        end += 2;
        while (end < text.size() && is_digit(text[end])) ++end;
      }
      add(Kind::number, end);
    } else if (c == '-' || c == '+') {
      add(Kind::sign, at + 1);
    } else if (c == '*') {
      add(Kind::degree, at + 1);
    } else if (c == '\'' || c == '"' || c == ':') {
      add(Kind::unit, at + 1);
    } else if (is_letter(c)) {
      std::size_t end = at;
      while (end < text.size() && is_letter(text[end])) ++end;
      const Run run = read_run(text.substr(at, end - at));
      if (!run.known) return std::nullopt;
      const bool seconds = run.side == Side::south && end - at == 1 && may_be_seconds(text.substr(0, end));
      if (seconds) {
        add(Kind::unit, end);
      } else {
        if (run.unit_length > 0) add((c | 0x20) == 'd' ? Kind::degree : Kind::unit, at + run.unit_length);
        if (run.side != Side::none) add(Kind::side, end);
      }
    } else {
      return std::nullopt;
    }
  }
  return tokens;
}

// Where the second coordinate begins in a text whose letters do not tell: at its sign, at the number of its degree
// sign, or halfway. npos: nowhere.
std::size_t split_by_numbers(const std::vector<Token>& tokens, std::string_view text) {
  using Kind = Token::Kind;
  std::vector<std::size_t> signs;
  std::vector<std::size_t> numbers;
  std::vector<std::size_t> degrees;  // the numbers that have a degree sign
  std::vector<std::size_t> after_colons;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const Token& token = tokens[i];
    if (token.kind == Kind::sign && !numbers.empty()) {
      if (!token.space_before) return std::string_view::npos;
      signs.push_back(token.begin);
    }
    if (token.kind == Kind::degree && !numbers.empty()) degrees.push_back(numbers.back());
    if (token.kind == Kind::number) {
      if (i > 0 && tokens[i - 1].kind == Kind::number) after_colons.push_back(token.begin);
      numbers.push_back(token.begin);
    }
  }
  if (signs.size() == 1) return signs.front();
  if (!signs.empty()) return std::string_view::npos;
  if (degrees.size() == 2) return degrees.back();
  if (text.find(':') != std::string_view::npos)
    return after_colons.size() == 1 ? after_colons.front() : std::string_view::npos;
  if (degrees.empty() && !numbers.empty() && numbers.size() % 2 == 0) return numbers[numbers.size() / 2];
  return std::string_view::npos;
}

// "52 5 S": two plain numbers and one letter at an end, which could be one latitude or a latitude and a longitude.
bool whole_degrees_and_minutes(const std::vector<Token>& tokens, std::string_view ascii) {
  std::vector<std::string_view> numbers;
  for (const Token& token : tokens)
    if (token.kind == Token::Kind::number) numbers.push_back(ascii.substr(token.begin, token.end - token.begin));
  if (numbers.size() != 2 || numbers[0].find_first_not_of("0123456789") != std::string_view::npos) return false;
  const auto second = parse_number(numbers[1]);
  return second && *second < 60;
}

// Where to cut a text without comma or semicolon. The second half starts at the position returned.
Result<std::size_t> split(const PlaceText& text, std::string_view ascii) {
  using Kind = Token::Kind;
  const auto unreadable = [&](std::string message) {
    return text.problem(Code::place_unreadable, std::move(message), examples(text));
  };
  const auto tokens = tokens_of(ascii, text.mark);
  if (!tokens && text.mark == ',' && ascii.find('.') != std::string_view::npos)
    return unreadable("the decimal mark here is ','");
  if (!tokens || tokens->empty()) return unreadable("this is no place in any notation known here");
  std::vector<std::size_t> sides;
  for (std::size_t i = 0; i < tokens->size(); ++i)
    if ((*tokens)[i].kind == Kind::side) sides.push_back(i);
  const std::size_t last = tokens->size() - 1;
  std::size_t cut = std::string_view::npos;
  if (sides.size() == 2 && !(sides[0] == 0 && sides[1] == last)) {
    if (sides[0] == 0 || sides[1] == sides[0] + 1)
      cut = (*tokens)[sides[1]].begin;
    else if (sides[1] == last)
      cut = (*tokens)[sides[0]].end;
  } else if (sides.size() == 1 && sides[0] != 0 && sides[0] != last) {
    const Token& side = (*tokens)[sides[0]];
    const bool space_after = (*tokens)[sides[0] + 1].space_before;
    if (!side.space_before && !space_after && (ascii[side.begin] | 0x20) == 'e')
      return unreadable("this may be a number too large or a value with the letter E");
    if (side.space_before == space_after)
      return text.problem(Code::place_ambiguous,
                          "the letter may belong to the number before it or to the one behind it",
                          "Set a comma between the two values, or give both their letters.");
    cut = side.space_before ? side.begin : side.end;
  } else if (sides.size() == 1 && tokens->size() == 3 && whole_degrees_and_minutes(*tokens, ascii)) {
    return text.problem(Code::place_ambiguous,
                        "this is one value in degrees and minutes, or two values of which one has its letter",
                        "Give both values with their letters, as 52 S 5 E, or write minutes as 52\u00B005'S.");
  } else if (sides.size() <= 2) {
    cut = split_by_numbers(*tokens, ascii);
  }
  if (cut == std::string_view::npos || cut == 0 || cut >= ascii.size())
    return unreadable("it cannot be told where the latitude ends and the longitude begins");
  return cut;
}

// The positions of commas that stand between values, not inside them.
std::vector<std::size_t> separating_commas(std::string_view text, char mark) {
  std::vector<std::size_t> commas;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != ',') continue;
    const bool inside = i > 0 && i + 1 < text.size() && is_digit(text[i - 1]) && is_digit(text[i + 1]);
    if (mark != ',' || !inside) commas.push_back(i);
  }
  return commas;
}

}  // namespace

Result<Coordinate> read_coordinate(const PlaceText& text, std::string_view ascii) {
  const auto unreadable = [&](std::string message) {
    return text.problem(Code::place_unreadable, std::move(message), examples(text));
  };
  if (ascii.empty()) return unreadable("nothing is given here");
  Side side = Side::none;
  std::string_view core = ascii;

  std::size_t length = 0;
  while (length < core.size() && is_letter(core[length])) ++length;
  if (length > 0) {
    const Run run = read_run(core.substr(0, length));
    if (run.side == Side::none || run.unit_length > 0) return unreadable("this is no place in any notation known here");
    side = run.side;
    core = trim(core.substr(length));
  }
  const bool signed_value = !core.empty() && (core.front() == '-' || core.front() == '+');

  length = 0;
  while (length < core.size() && is_letter(core[core.size() - 1 - length])) ++length;
  if (length > 0) {
    const std::size_t start = core.size() - length;
    const Run run = read_run(core.substr(start));
    if (!run.known) return unreadable("this is no place in any notation known here");
    const bool seconds = run.side == Side::south && length == 1 && may_be_seconds(core);
    if (seconds && side == Side::none && !signed_value)
      return text.problem(Code::place_ambiguous, "the last s may mean seconds or south",
                          "Write seconds as \" or leave their letter away, and put N or S before or behind.");
    if (run.side != Side::none && !seconds) {
      if (side != Side::none) return unreadable("there are two letters for one value");
      side = run.side;
      core = trim(core.substr(0, start + run.unit_length));
    }
  }

  auto degrees = parse_degrees(core, text.mark, text.field);
  if (!degrees) {
    Problem problem = degrees.problem();
    problem.value = std::string(text.original);
    if (problem.code != Code::sixtieths) {
      problem.code = Code::place_unreadable;
      problem.remedy = examples(text);
    }
    return problem;
  }
  Coordinate coordinate{degrees->degrees, Axis::unknown};
  if (side == Side::none) return coordinate;
  const bool lat = side == Side::north || side == Side::south;
  coordinate.axis = lat ? Axis::lat : Axis::lon;
  const std::string number = format_trimmed(std::abs(coordinate.degrees), 9);
  if (side == Side::o) {
    if (text.letters.o == LetterO::undeclared)
      return text.problem(
          Code::place_ambiguous,
          "the letter O is west in Spanish, French, Italian and Portuguese and east in German and Dutch; "
          "this may mean " +
              number + " W or " + number + " E",
          "Write W or E, or declare the language with letters, as in letters=es or letters=de.");
    side = text.letters.o == LetterO::west ? Side::west : Side::east;
  }
  const bool negative_side = side == Side::south || side == Side::west;
  if (signed_value && (core.front() == '-' || negative_side))
    return text.problem(Code::contradiction,
                        "a sign and a letter say two things; this may mean " + number + (lat ? " N or " : " E or ") +
                            number + (lat ? " S" : " W"),
                        "Leave the sign or the letter away.");
  if (coordinate.degrees > (lat ? 90 : 180))
    return text.problem(
        Code::place_out_of_range,
        lat ? "a latitude with N or S lies between 0 and 90" : "a longitude with E or W lies between 0 and 180",
        "Give degrees; minutes are set apart, as in 42 17.5 or 42\u00B017.5'.");
  if (negative_side) coordinate.degrees = -coordinate.degrees;
  return coordinate;
}

Result<Place> read_lat_lon_place(const PlaceText& text, std::string_view ascii) {
  const auto unreadable = [&](std::string message) {
    return text.problem(Code::place_unreadable, std::move(message), examples(text));
  };
  if (ascii.empty()) return unreadable("nothing is given here");
  std::string_view first;
  std::string_view second;
  const std::size_t semicolon = ascii.find(';');
  const auto commas = separating_commas(ascii, text.mark);
  if (semicolon != std::string_view::npos || commas.size() == 1) {
    const std::size_t at = semicolon != std::string_view::npos ? semicolon : commas.front();
    first = ascii.substr(0, at);
    second = ascii.substr(at + 1);
  } else if (commas.size() > 1) {
    return unreadable(text.mark == ',' ? "there are too many commas"
                                       : "there are too many commas; the decimal mark here is '.'");
  } else {
    const auto cut = split(text, ascii);
    if (!cut) return cut.problem();
    first = ascii.substr(0, *cut);
    second = ascii.substr(*cut);
  }
  if (trim(first).empty() || trim(second).empty()) return unreadable("a place needs a latitude and a longitude");
  auto a = read_coordinate(text, trim(first));
  if (!a) return a.problem();
  auto b = read_coordinate(text, trim(second));
  if (!b) return b.problem();
  if (a->axis != Axis::unknown && a->axis == b->axis)
    return unreadable(a->axis == Axis::lat ? "two latitudes are given and no longitude"
                                           : "two longitudes are given and no latitude");
  const bool lon_first = a->axis == Axis::lon || b->axis == Axis::lat;
  if (lon_first) std::swap(*a, *b);
  return checked_place(text, text, *a, *b);
}

}  // namespace agonic::geodesy
