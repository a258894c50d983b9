// One row of cells to one typed reading, or the first problem in it.
#pragma once

#include "model/reading/columns.hpp"
#include "model/reading/reading.hpp"
#include "model/reading/rules.hpp"

namespace agonic::reading {

/// Reads and checks a row. A cell stands before the default of its column. A default that has no meaning for the row's
/// kind or reference is passed over; a filled cell that has none refuses the row.
/// A missing or unknown north reference is no problem here: the corrector refuses it with the candidates.
Result<Reading> read_row(const Cells& cells, const Rules& rules);

/// Checks every default by itself, so that a mistyped option is told before any row is.
std::optional<Problem> check_defaults(const Rules& rules);

}  // namespace agonic::reading
