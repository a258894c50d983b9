// Yes and no as written in options and cells.
#pragma once

#include <string_view>

#include "model/units/problem.hpp"

namespace agonic {

/// `yes`/`no` (also true/false, 1/0, y/n); empty is false. Else Code::unknown_name.
Result<bool> parse_yes(std::string_view text, std::string_view field);

}  // namespace agonic
