// What can be wrong with an input, as data: every refusal names its place, the value and a remedy.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

namespace agonic {

/// Every reason for a refusal. The word of each (see word()) is public and stable.
enum class Code {
  missing_value,
  not_a_number,
  out_of_range,
  unknown_name,
  contradiction,
  sixtieths,  // minutes or seconds of 60 and more
  place_unreadable,
  place_out_of_range,
  place_ambiguous,  // the letter O, 18S
  place_swapped,
  height_out_of_range,
  date_missing,
  date_unreadable,
  date_ambiguous,  // two-digit year, 03/04/2005 without an order
  date_future,
  date_outside_models,
  model_unknown,
  declination_unsigned,  // typed without sign or letter
  declination_sign,      // sign against letter
  grid_unknown,
  grid_out_of_area,
  needle_unusable,
  north_reference_missing,
  set_declination_unknown,
  convention_missing,
  quadrant_out_of_range,
  dip_letter_along_strike,
  dip_letter_contradicts,
  reading_out_of_range,  // azimuth, dip, plunge, vertical angle beyond its range
  not_applicable,        // a column filled that has no meaning for this kind of row
  index_curve,           // cannot be solved for the magnetic azimuth
  instrument_unknown,
  already_corrected,  // the provenance columns are there: a second correction
  name_taken,         // an input column carries the name of an added one
  row_malformed,
  file_malformed,
  columns_missing,
  too_large,
  coefficients_bad,
  unsupported_format,
  not_found,
  method_not_allowed,
  overloaded,
  internal,
};

/// The public word of a code, in plain hyphenated words.
std::string_view word(Code code) noexcept;
/// The inverse of word(); empty for a word that is none.
std::optional<Code> code_of(std::string_view word) noexcept;

/// One thing wrong with one input.
struct Problem {
  Code code = Code::internal;
  std::string field;    ///< the column, parameter or file
  std::string value;    ///< as given, unaltered; empty when absent
  std::string message;  ///< what is wrong, without the value's place
  std::string remedy;   ///< what to do; a full sentence or empty

  /// "field 'value': message. remedy": one line for people.
  [[nodiscard]] std::string text() const;
};

/// A value or the problem that prevented it.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : held_(std::move(value)) {}            // NOLINT(google-explicit-constructor)
  Result(Problem problem) : held_(std::move(problem)) {}  // NOLINT(google-explicit-constructor)
  /// A value as it is by default, to be filled where it stands.
  explicit Result(std::in_place_t) : held_(std::in_place_index<0>) {}

  explicit operator bool() const noexcept { return held_.index() == 0; }
  /// The value. Calling it on a problem is a bug and throws std::bad_variant_access.
  [[nodiscard]] const T& value() const& { return std::get<0>(held_); }
  [[nodiscard]] T& value() & { return std::get<0>(held_); }
  [[nodiscard]] T&& value() && { return std::get<0>(std::move(held_)); }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }
  [[nodiscard]] const Problem& problem() const { return std::get<1>(held_); }
  [[nodiscard]] Problem& problem() { return std::get<1>(held_); }

 private:
  std::variant<T, Problem> held_;
};

/// Thrown at start-up only, for coefficient data that must not be used: names file and line.
class BadCoefficients : public std::runtime_error {
 public:
  BadCoefficients(const std::string& file, int line, const std::string& what);
};

}  // namespace agonic
