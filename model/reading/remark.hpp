// The sum in words, as a person would write it beside the row.
#pragma once

#include <string>
#include <vector>

#include "model/reading/checks.hpp"
#include "model/reading/correction.hpp"

namespace agonic::reading {

/// The checks that ask or warn about this row, in the order of the table.
std::vector<Check> raised(const Reading& reading, const Surroundings& around, const Correction& correction,
                          bool datum_stated);

/// One line: the sum, what was understood, and what the raised checks ask. ASCII decimals with a point.
std::string remark(const Reading& reading, const Surroundings& around, const Correction& correction,
                   const std::vector<Check>& checks);

}  // namespace agonic::reading
