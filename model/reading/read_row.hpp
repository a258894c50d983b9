// One row of cells to one typed reading, or the first problem in it.
#pragma once

#include "model/reading/columns.hpp"
#include "model/reading/reading.hpp"
#include "model/reading/rules.hpp"

namespace agonic::reading {

// A cell stands before the default of its column. A default that has no meaning for the row's kind or reference is
// passed over; a filled cell that has none refuses the row. A missing or unknown north reference is no problem here:
// the corrector refuses it with the candidates.

/// The columns that the circumstances hang on, and nothing else does.
inline constexpr ColumnSet kCircumstances =
    bit(Column::place) | bit(Column::lat) | bit(Column::lon) | bit(Column::height_m) | bit(Column::date) |
    bit(Column::north_reference) | bit(Column::set_declination) | bit(Column::applied_declination) |
    bit(Column::applied_grid_magnetic) | bit(Column::crs) | bit(Column::target_crs) | bit(Column::graduation) |
    bit(Column::reading_sigma) | bit(Column::dip_sigma) | bit(Column::site_declination) |
    bit(Column::site_declination_sigma) | bit(Column::target_date) | bit(Column::instrument);

/// Reads and checks where, when and how: a function of the kCircumstances cells and the rules.
/// @param defaults defaulted(rules)
/// @param into fresh; of no use if there is a problem
std::optional<Problem> read_circumstances(const Cells& row, const Rules& rules, ColumnSet defaults,
                                          Circumstances& into);

/// Reads and checks what was measured, under the circumstances that are in `into`.
std::optional<Problem> read_measured(const Cells& row, const Rules& rules, ColumnSet defaults, Reading& into);

/// Both: a whole row.
Result<Reading> read_row(const Cells& row, const Rules& rules);

/// Checks every default by itself, so that a mistyped option is told before any row is.
std::optional<Problem> check_defaults(const Rules& rules);

}  // namespace agonic::reading
