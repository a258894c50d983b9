// Every code that a user can meet, in one catalogue: what it means, why it matters, what to do, and two inputs, one
// that raises it and a near one that does not. Terminal, service and tests all read it here.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace agonic::checks {

/// What becomes of the input. A stop refuses it, an ask and a warn mark it, a note only tells.
enum class Kind { stop, ask, warn, note };
std::string_view word(Kind kind) noexcept;

/// Where a code is raised.
enum class Where : unsigned char {
  row,          ///< a row of a notebook that is corrected
  file,         ///< a whole file or batch
  lookup,       ///< declination at a place and date
  setting,      ///< what to set on the circle
  sun,          ///< where the sun stands
  traverse,     ///< fore and back azimuths
  rotation,     ///< found lines
  swing,        ///< the day's swing
  route,        ///< the declination along a way
  fit,          ///< index errors from sightings
  instruments,  ///< records of instruments
  review,       ///< a whole data set looked at
  service,      ///< HTTP and the service itself
};
inline constexpr std::size_t kPlaces = static_cast<std::size_t>(Where::service) + 1;
/// The word in JSON, and the heading for people.
std::string_view word(Where where) noexcept;
std::string_view heading(Where where) noexcept;
constexpr std::uint16_t at(Where where) noexcept {
  return static_cast<std::uint16_t>(1U << static_cast<unsigned>(where));
}

/// What a threshold rests on.
enum class Basis { published, common_practice, judgement };
std::string_view word(Basis basis) noexcept;

/// A threshold as the check compares with it: the value is the check's own constant.
struct Limit {
  std::string_view name{};  ///< empty: none
  double value = 0;
  std::string_view unit{};  ///< degree, nT, m, years, sigma; empty for a count or ratio
  Basis basis = Basis::judgement;
};

/// An input: cells or parameters that differ from the base ("azimuth=N95E; dip=40"), or a whole document.
struct Input {
  std::string_view text{};
  std::string_view options{};  ///< parameters beside it, "again=yes; decimal=comma"
};

/// Invented. Unless `in_words`, both inputs are run as they stand by the tests.
struct Example {
  Where door = Where::row;
  Input raises{}, passes{};
  bool in_words = false;  ///< what happens, told: it cannot be written as one small input
};

struct Entry {
  std::string_view code;  ///< public and stable
  Kind kind = Kind::stop;
  std::uint16_t where = 0;   ///< bits of at()
  std::string_view meaning;  ///< when it is raised, thresholds included
  std::string_view why;      ///< what goes wrong otherwise
  std::string_view remedy;
  Example example{};
  std::array<Limit, 3> limits{};
};

/// All of them, grouped by where they are raised first, in a settled order. Codes are unique.
std::span<const Entry> catalogue();
/// Null for a word that is no code.
const Entry* find(std::string_view code) noexcept;
/// The code that a misspelt one was probably meant for; empty if none is near.
std::string_view nearest(std::string_view code);
/// The group in which an entry is listed: the first place where it is raised.
Where group(const Entry& entry) noexcept;

/// What every example of a row, a lookup, a setting and a sun starts from; empty for documents.
std::string_view base(Where door) noexcept;

/// With a capital and a full stop: tables of remarks have neither.
std::string sentence(std::string_view text);

/// For a terminal, lines of at most 88 columns.
std::string to_text(const Entry& entry);
std::string list_text();
/// One JSON object; {"checks": [...]} of all.
std::string to_json(const Entry& entry);
std::string list_json();

}  // namespace agonic::checks
