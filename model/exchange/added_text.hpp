// The added columns as text.
#pragma once

#include <string>
#include <string_view>

#include "model/reading/corrector.hpp"

namespace agonic::exchange {

/// `agonic` and its version, as in the column `software`.
std::string software();

/// Is this the name of an added column, or of one that was kept when a file was taken again (`earlier_...`)?
bool of_a_correction(std::string_view name) noexcept;

/// `,"azimuth_true":120.0,...` without the leading comma; numbers unrounded, void values null.
std::string added_members(const reading::Outcome& outcome, bool with_target);

/// One added cell: angles with 3 decimals in the file's decimal mark, void values empty.
std::string added_cell(const reading::Outcome& outcome, reading::Added column, char decimal_mark);

/// Well-formed UTF-8, without surrogates and overlong forms (RFC 3629).
bool is_utf8(std::string_view text) noexcept;
/// A text as a JSON string with its quotes; bytes that are no UTF-8 become the replacement character.
std::string json_string(std::string_view text);
/// The shortest text that reads back as the same double, always with a point or exponent.
std::string json_number(double value);

}  // namespace agonic::exchange
