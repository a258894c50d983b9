// The sum in words, as a person would write it beside the row.
#pragma once

#include <string>

#include "model/reading/checks.hpp"
#include "model/reading/correction.hpp"
#include "model/units/text.hpp"

namespace agonic::reading {

/// The checks that ask or warn about this row.
CheckSet raised(const Reading& reading, const Surroundings& around, const Correction& correction, bool datum_stated);

/// The terms of the sum that are the same for all readings under the same circumstances, as " + 12.300 (what it is)".
struct Phrases {
  std::string taken_off;  ///< what was set or applied before
  std::string added;      ///< declination or convergence
};
/// @param reading its circumstances count
Phrases phrases(const Reading& reading, const Surroundings& around);

/// Appends one line: the sum, what was understood, and what the raised checks ask. ASCII decimals with a point.
void remark(const Reading& reading, const Surroundings& around, const Phrases& terms, const Correction& correction,
            CheckSet checks, Text& out);

}  // namespace agonic::reading
