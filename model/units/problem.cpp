#include "model/units/problem.hpp"

#include <array>

namespace agonic {
namespace {

struct Word {
  Code code;
  std::string_view word;
};

constexpr std::array kWords{
    Word{Code::missing_value, "missing-value"},
    Word{Code::not_a_number, "not-a-number"},
    Word{Code::out_of_range, "out-of-range"},
    Word{Code::unknown_name, "unknown-name"},
    Word{Code::contradiction, "contradiction"},
    Word{Code::sixtieths, "sixty-minutes-or-more"},
    Word{Code::place_unreadable, "place-unreadable"},
    Word{Code::place_out_of_range, "place-out-of-range"},
    Word{Code::place_ambiguous, "place-ambiguous"},
    Word{Code::place_swapped, "place-swapped"},
    Word{Code::height_out_of_range, "height-out-of-range"},
    Word{Code::date_missing, "date-missing"},
    Word{Code::date_unreadable, "date-unreadable"},
    Word{Code::date_ambiguous, "date-ambiguous"},
    Word{Code::date_future, "date-in-the-future"},
    Word{Code::date_outside_models, "date-outside-models"},
    Word{Code::model_unknown, "model-unknown"},
    Word{Code::declination_unsigned, "declination-without-side"},
    Word{Code::declination_sign, "declination-sign-against-letter"},
    Word{Code::grid_unknown, "grid-unknown"},
    Word{Code::grid_out_of_area, "grid-out-of-area"},
    Word{Code::needle_unusable, "needle-unusable"},
    Word{Code::north_reference_missing, "north-reference-missing"},
    Word{Code::set_declination_unknown, "set-declination-unknown"},
    Word{Code::convention_missing, "plane-convention-missing"},
    Word{Code::quadrant_out_of_range, "quadrant-out-of-range"},
    Word{Code::dip_letter_along_strike, "dip-letter-along-strike"},
    Word{Code::dip_letter_contradicts, "dip-letter-against-strike"},
    Word{Code::reading_out_of_range, "reading-out-of-range"},
    Word{Code::not_applicable, "not-applicable"},
    Word{Code::index_curve, "index-curve-unsolvable"},
    Word{Code::instrument_unknown, "instrument-unknown"},
    Word{Code::already_corrected, "already-corrected"},
    Word{Code::name_taken, "column-name-taken"},
    Word{Code::row_malformed, "row-malformed"},
    Word{Code::file_malformed, "file-malformed"},
    Word{Code::columns_missing, "columns-missing"},
    Word{Code::too_large, "too-large"},
    Word{Code::coefficients_bad, "coefficients-bad"},
    Word{Code::unsupported_format, "unsupported-format"},
    Word{Code::not_found, "not-found"},
    Word{Code::method_not_allowed, "method-not-allowed"},
    Word{Code::overloaded, "overloaded"},
    Word{Code::internal, "internal-error"},
};
static_assert(kWords.size() == static_cast<std::size_t>(Code::internal) + 1);

}  // namespace

std::string_view word(Code code) noexcept { return kWords[static_cast<std::size_t>(code)].word; }

std::optional<Code> code_of(std::string_view word) noexcept {
  for (const Word& entry : kWords)
    if (entry.word == word) return entry.code;
  return std::nullopt;
}

std::string Problem::text() const {
  std::string out = field;
  if (!value.empty()) out += (out.empty() ? "'" : " '") + value + "'";
  if (!out.empty()) out += ": ";
  out += message;
  if (!remedy.empty()) {
    if (!out.empty() && out.back() != '.' && out.back() != '?') out += '.';
    out += ' ' + remedy;
  }
  return out;
}

BadCoefficients::BadCoefficients(const std::string& file, int line, const std::string& what)
    : std::runtime_error(file + (line > 0 ? ":" + std::to_string(line) : std::string()) + ": " + what) {}

}  // namespace agonic
