// The added columns as text.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "model/reading/corrector.hpp"
#include "model/units/json_out.hpp"
#include "model/units/text.hpp"

namespace agonic::exchange {

/// `agonic` and its version, as in the column `software`.
inline constexpr std::string_view kSoftware = "agonic " AGONIC_VERSION;

/// Does the column hold text?
constexpr bool is_text(reading::Added column) noexcept {
  return column >= reading::Added::date_used && column <= reading::Added::azimuth_true_text;
}

/// Is this the name of an added column, or of one that was kept when a file was taken again (`earlier_...`)?
bool of_a_correction(std::string_view name) noexcept;

/// A number of an added column, with 3 decimals in the file's decimal mark.
void append_cell(reading::Added column, double value, char decimal_mark, Text& out);

/// Puts the added columns into JSON objects.
class AddedMembers {
 public:
  /// `"azimuth_true":120.0,...`, numbers unrounded, void values null.
  void append(const reading::Outcome& outcome, bool with_target, Text& out);

 private:
  // The text of a column's last value: declinations, sigmas and the like repeat from row to row.
  struct Last {
    std::uint64_t bits = ~std::uint64_t{0};  // of no number
    std::uint8_t length = 0;
    std::array<char, 32> text{};
  };
  std::array<Last, reading::kAdded> last_;
};

/// Well-formed UTF-8, without surrogates and overlong forms (RFC 3629).
bool is_utf8(std::string_view text) noexcept;
/// A text as a JSON string with its quotes; bytes that are no UTF-8 become the replacement character.
std::string json_string(std::string_view text);

}  // namespace agonic::exchange
