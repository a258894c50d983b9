// UTM, UPS and MGRS. The texts are taken apart and checked here; projections.hpp only computes, and what it may still
// refuse is answered in our own words.
//
// Source: NGA.SIG.0012, The Universal Grids and the Transverse Mercator and Polar Stereographic Map Projections.
#include <array>
#include <cmath>

#include "model/geodesy/place_parts.hpp"
#include "model/geodesy/projections.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::geodesy {
namespace {

// Degrees by which a northing may miss its band, for rounded figures at the edge.
constexpr double kBandSlack = 0.01;
// Below this a number is taken for degrees, from here on for metres.
constexpr double kLeastMetres = 1000;
constexpr double kMostEasting = 1'000'000;
constexpr double kMostNorthingNorth = 9'600'000;
constexpr double kLeastNorthingSouth = 900'000;
constexpr double kMostNorthingSouth = 10'000'000;
constexpr double kMostPolar = 4'000'000;
constexpr double kPole = 2'000'000;
constexpr std::size_t kMostMgrsDigits = 22;

constexpr std::string_view kUtmExample = "Write it as 18 north 585628 4511322 or 18T 585628 4511322.";
constexpr std::string_view kUpsExample = "Write it as UPS N 2000000 2000000, easting first.";
constexpr std::string_view kMgrsExample =
    "Write it as 18TWL8562811322: zone, band, two letters, an even number of digits.";

bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }
char upper(char c) noexcept { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c; }
bool is_letter(char c) noexcept { return upper(c) >= 'A' && upper(c) <= 'Z'; }

std::string_view take_letters(std::string_view& rest) noexcept {
  std::size_t length = 0;
  while (length < rest.size() && is_letter(rest[length])) ++length;
  const std::string_view run = rest.substr(0, length);
  rest = trim(rest.substr(length));
  return run;
}

std::string_view take_digits(std::string_view& rest) noexcept {
  std::size_t length = 0;
  while (length < rest.size() && is_digit(rest[length])) ++length;
  const std::string_view run = rest.substr(0, length);
  rest = trim(rest.substr(length));
  return run;
}

// Removes `word` from the front if the letters there are exactly this word.
bool take_word(std::string_view& rest, std::string_view word) {
  std::string_view after = rest;
  if (lower(take_letters(after)) != word) return false;
  if (!after.empty() && after.front() == ':') after = trim(after.substr(1));
  rest = after;
  return true;
}

struct Metres {
  double easting;
  double northing;
};

// One number of metres with its label before or behind: 'E', 'N' or none.
struct Labelled {
  double value;
  char label;
  bool before;
};
std::optional<Labelled> take_metres(std::string_view& rest, char mark) {
  Labelled out{0, '\0', false};
  std::string_view label = take_letters(rest);
  if (!label.empty()) {
    if (label.size() != 1) return std::nullopt;
    out.label = upper(label.front());
    out.before = true;
  }
  std::size_t length = 0;
  while (length < rest.size() &&
         (is_digit(rest[length]) || (rest[length] == mark && length + 1 < rest.size() && is_digit(rest[length + 1]))))
    ++length;
  const auto value = parse_number(rest.substr(0, length), mark);
  if (!value) return std::nullopt;
  out.value = *value;
  rest = trim(rest.substr(length));
  std::string_view behind = rest;
  std::string run = lower(take_letters(behind));
  if (run == "m") {
    rest = behind;
    run = lower(take_letters(behind));
  }
  // After a number that has its letter before it, these letters belong to the next one.
  if (!out.before && (run == "e" || run == "me" || run == "n" || run == "mn")) {
    out.label = upper(run.back());
    rest = behind;
  }
  return out;
}

// Easting and northing to the end of the text, in this order unless labels say otherwise.
std::optional<Metres> read_metres(std::string_view rest, char mark) {
  const auto first = take_metres(rest, mark);
  if (!first) return std::nullopt;
  if (!rest.empty() && (rest.front() == ',' || rest.front() == ';')) rest = trim(rest.substr(1));
  const auto second = take_metres(rest, mark);
  if (!second || !rest.empty()) return std::nullopt;
  if (first->label == '\0' && second->label == '\0') return Metres{first->value, second->value};
  if (first->before != second->before) return std::nullopt;
  if (first->label == 'E' && second->label == 'N') return Metres{first->value, second->value};
  if (first->label == 'N' && second->label == 'E') return Metres{second->value, first->value};
  return std::nullopt;
}

// Whether the letters name a hemisphere in a word: 'N', 'S' or 0.
char hemisphere_word(std::string_view letters) {
  const std::string low = lower(letters);
  if (low == "north" || low == "nord" || low == "norte" || low == "noord") return 'N';
  if (low == "south" || low == "sud" || low == "sur" || low == "sul" || low == "zuid") return 'S';
  return '\0';
}

constexpr std::string_view kBands = "CDEFGHJKLMNPQRSTUVWX";
struct BandSpan {
  double from;
  double to;
};
BandSpan band_span(char band) noexcept {
  const auto index = static_cast<double>(kBands.find(band));
  return {-80 + 8 * index, band == 'X' ? 84 : -72 + 8 * index};
}

std::string lat_text(double lat) { return format_trimmed(std::abs(lat), 4) + (lat < 0 ? " S" : " N"); }
std::string lon_text(double lon) { return format_trimmed(std::abs(lon), 4) + (lon < 0 ? " W" : " E"); }

std::optional<Place> from_utm(int zone, bool north, const Metres& metres) {
  const auto [easting, northing] = metres;
  if (easting < 0 || easting > kMostEasting) return std::nullopt;
  if (north ? northing < 0 || northing > kMostNorthingNorth
            : northing < kLeastNorthingSouth || northing > kMostNorthingSouth)
    return std::nullopt;
  Place place;
  place.notation = Place::Notation::utm;
  const auto found = from_utm_ups(zone, north, easting, northing);
  if (!found) return std::nullopt;
  place.zone_mismatch = standard_zone(found->lat_deg, found->lon_deg) != zone;
  place.lat_deg = found->lat_deg;
  place.lon_deg = wrap_180(found->lon_deg);
  place.utm_zone_given = zone;
  place.text_meaning = "UTM " + std::to_string(zone) + (north ? 'N' : 'S');
  return place;
}

// "40.7486 N 73.9857 W", with the band where the northing is not in band S.
std::string reading_text(const std::optional<Place>& place, bool band) {
  if (!place) return band ? "impossible as a band" : "impossible as a hemisphere";
  std::string text = lat_text(place->lat_deg) + ' ' + lon_text(place->lon_deg);
  if (band && (place->lat_deg < 32 - kBandSlack || place->lat_deg > 40 + kBandSlack)) text += " (not in the band S)";
  return text;
}

Result<Place> read_utm(const PlaceText& text, int zone, std::string_view letters, const Metres& metres) {
  if (zone < 1 || zone > 60)
    return text.problem(Code::place_out_of_range, "UTM zones run from 1 to 60", std::string(kUtmExample));
  const std::string number = std::to_string(zone);
  if (letters.empty())
    return text.problem(Code::place_ambiguous, "zone " + number + " has a northern and a southern half",
                        "Write " + number + " north or " + number + " south.");
  char hemisphere = hemisphere_word(letters);
  char band = '\0';
  if (hemisphere == '\0' && letters.size() == 1) {
    const char letter = upper(letters.front());
    if (letter == 'N') {
      hemisphere = 'N';  // the band N is in the north as well
    } else if (letter == 'S' && text.letters.zone_s == Letters::ZoneS::undeclared) {
      return text.problem(
          Code::place_ambiguous,
          "the S behind a zone is the band S (32 to 40 degrees north) or the southern hemisphere; this "
          "may mean " +
              reading_text(from_utm(zone, true, metres), true) + " or " +
              reading_text(from_utm(zone, false, metres), false),
          "Write " + number + " north or " + number + " south, or declare letters=band or letters=hemisphere.");
    } else if (letter == 'S' && text.letters.zone_s == Letters::ZoneS::hemisphere) {
      hemisphere = 'S';
    } else if (kBands.find(letter) != std::string_view::npos) {
      band = letter;
      hemisphere = letter >= 'N' ? 'N' : 'S';
    }
  }
  if (hemisphere == '\0')
    return text.problem(Code::place_unreadable,
                        std::string("'") + printable(letters) + "' behind the zone is neither a hemisphere nor a band",
                        std::string(kUtmExample));
  auto place = from_utm(zone, hemisphere == 'N', metres);
  if (!place)
    return text.problem(Code::place_out_of_range, "there is no place with this easting and northing in zone " + number,
                        "Give the easting first (0 to 1000000 m), then the northing, in metres.");
  if (band != '\0') {
    const BandSpan span = band_span(band);
    if (place->lat_deg < span.from - kBandSlack || place->lat_deg > span.to + kBandSlack)
      return text.problem(Code::contradiction,
                          std::string("the band ") + band + " reaches from " + lat_text(span.from) + " to " +
                              lat_text(span.to) + ", and this northing is at " + lat_text(place->lat_deg),
                          "Check the letter; write " + number + (hemisphere == 'N' ? " north" : " south") +
                              " if the northing is right.");
  }
  return *std::move(place);
}

Result<Place> read_ups(const PlaceText& text, std::string_view letters, const Metres& metres) {
  const std::string low = lower(letters);
  char hemisphere = hemisphere_word(letters);
  char half = '\0';
  if (low == "n" || low == "y" || low == "z") hemisphere = 'N';
  if (low == "s" || low == "a" || low == "b") hemisphere = 'S';
  if (low == "y" || low == "a") half = 'W';
  if (low == "z" || low == "b") half = 'E';
  if (hemisphere == '\0')
    return text.problem(Code::place_unreadable, "UPS needs its hemisphere or one of the letters A, B, Y, Z",
                        std::string(kUpsExample));
  const auto inside = [](double metre) { return metre >= 0 && metre <= kMostPolar; };
  if (!inside(metres.easting) || !inside(metres.northing))
    return text.problem(Code::place_out_of_range, "UPS coordinates lie between 0 and 4000000 m",
                        std::string(kUpsExample));
  if ((half == 'W' && metres.easting > kPole) || (half == 'E' && metres.easting < kPole))
    return text.problem(Code::contradiction,
                        std::string("the letter ") + upper(letters.front()) + " stands for the " +
                            (half == 'W' ? "western" : "eastern") + " half, and the easting is in the other one",
                        "Check the letter, or write UPS N or UPS S.");
  Place place;
  place.notation = Place::Notation::ups;
  const auto found = from_utm_ups(kUps, hemisphere == 'N', metres.easting, metres.northing);
  if (!found)
    return text.problem(Code::place_out_of_range, "there is no place with these UPS coordinates",
                        std::string(kUpsExample));
  place.lat_deg = found->lat_deg;
  place.lon_deg = std::abs(place.lat_deg) == 90 ? 0 : wrap_180(found->lon_deg);  // a pole has every longitude
  place.text_meaning = std::string("UPS ") + hemisphere;
  return place;
}

// "1 m", "0.01 m": the side of a square with so many digits an axis.
std::string square_side(int digits) {
  constexpr std::array<std::string_view, 6> kSides{"100 km", "10 km", "1 km", "100 m", "10 m", "1 m"};
  if (digits < static_cast<int>(kSides.size())) return std::string(kSides[static_cast<std::size_t>(digits)]);
  return format_trimmed(std::pow(10.0, 5 - digits), 6) + " m";
}

// The text without spaces in capitals if it has the form of MGRS; empty otherwise.
std::string mgrs_form(std::string_view text) {
  std::string compact;
  std::size_t run = 0;
  std::string word;
  for (const char c : text) {
    if (c == ' ') continue;
    if (!is_digit(c) && !is_letter(c)) return {};
    if (is_letter(c)) word += c;
    compact += upper(c);
  }
  std::size_t at = 0;
  while (at < compact.size() && is_digit(compact[at])) ++at;
  while (at + run < compact.size() && is_letter(compact[at + run])) ++run;
  if (at > 2 || run != 3 || word.size() != 3) return {};
  if (at == 0 && std::string_view("ABYZ").find(compact[0]) == std::string_view::npos) return {};
  // Units and words of direction of three letters, as in 42 deg 17.
  for (const std::string_view taken : {"deg", "min", "sec", "est", "ost", "sur", "sud", "sul"})
    if (word == taken) return {};
  return compact;
}

Result<Place> read_mgrs(const PlaceText& text, const std::string& mgrs) {
  const auto unreadable = [&](std::string message) {
    return text.problem(Code::place_unreadable, std::move(message), std::string(kMgrsExample));
  };
  const std::size_t letters_at = mgrs.find_first_not_of("0123456789");
  const std::size_t digits = mgrs.size() - letters_at - 3;
  if (letters_at > 0) {
    const int zone = std::stoi(mgrs.substr(0, letters_at));
    if (zone < 1 || zone > 60)
      return text.problem(Code::place_out_of_range, "the zones of MGRS run from 1 to 60", std::string(kMgrsExample));
    if (kBands.find(mgrs[letters_at]) == std::string_view::npos)
      return unreadable(std::string("there is no band ") + mgrs[letters_at] + " beside a zone number");
  }
  if (digits % 2 != 0)
    return unreadable("the digits behind the square must be as many for the easting as for the northing");
  if (digits > kMostMgrsDigits) return unreadable("there are too many digits");
  Place place;
  place.notation = Place::Notation::mgrs;
  const auto square = mgrs_square(mgrs);
  const auto centre =
      square ? from_utm_ups(square->zone, square->north, square->easting_m, square->northing_m) : std::nullopt;
  if (!centre) return unreadable("there is no such square");
  if (square->zone != kUps) {
    place.utm_zone_given = square->zone;
    // A square on the edge of its zone may have its centre beyond.
    const double half = 0.5 * std::pow(10.0, 5 - square->digits);
    place.zone_mismatch = true;
    for (const double shift : {0.0, -half, half}) {
      const auto side = from_utm_ups(square->zone, square->north, square->easting_m + shift, square->northing_m);
      if (side && standard_zone(side->lat_deg, side->lon_deg) == square->zone) place.zone_mismatch = false;
    }
  }
  place.text_meaning = "MGRS " + mgrs + ", centre of a square of " + square_side(square->digits);
  place.lat_deg = centre->lat_deg;
  place.lon_deg = wrap_180(centre->lon_deg);
  return place;
}

}  // namespace

std::optional<Result<Place>> read_grid_place(const PlaceText& text, std::string_view ascii) {
  std::string_view rest = ascii;
  if (take_word(rest, "mgrs")) {
    const std::string mgrs = mgrs_form(rest);
    if (!mgrs.empty()) return read_mgrs(text, mgrs);
    return text.problem(Code::place_unreadable, "this is not an MGRS reference", std::string(kMgrsExample));
  }
  const bool says_utm = take_word(rest, "utm");
  const bool says_ups = !says_utm && take_word(rest, "ups");
  if (!says_utm && !says_ups)
    if (const std::string mgrs = mgrs_form(rest); !mgrs.empty()) return read_mgrs(text, mgrs);
  if (says_utm) take_word(rest, "zone");

  const std::string_view digits = take_digits(rest);
  const bool glued_mark = !rest.empty() && (rest.front() == '.' || rest.front() == ',');
  if (!says_ups && (digits.size() == 1 || digits.size() == 2) && !glued_mark) {
    const std::string_view letters = take_letters(rest);
    if (!rest.empty() && rest.front() == ',') rest = trim(rest.substr(1));
    const auto metres = read_metres(rest, text.mark);
    if (metres && (says_utm || (metres->easting >= kLeastMetres && metres->northing >= 0)))
      return read_utm(text, (digits.size() == 1 ? 0 : 10 * (digits[0] - '0')) + (digits.back() - '0'), letters,
                      *metres);
  } else if (!says_utm && digits.empty()) {
    const std::string_view letters = take_letters(rest);
    const auto metres = letters.empty() ? std::nullopt : read_metres(rest, text.mark);
    if (metres && (says_ups || metres->easting >= kLeastMetres)) return read_ups(text, letters, *metres);
  }
  if (says_utm) return text.problem(Code::place_unreadable, "this is not a UTM coordinate", std::string(kUtmExample));
  if (says_ups) return text.problem(Code::place_unreadable, "this is not a UPS coordinate", std::string(kUpsExample));
  return std::nullopt;
}

}  // namespace agonic::geodesy
