// What an instrument reads wrong: of the row's own cells, of its record, of the defaults, in this order.
#pragma once

#include <optional>

#include "model/reading/read_cells.hpp"
#include "model/reading/reading.hpp"

namespace agonic::reading {

/// Looks up what the record of the row's instrument held on the reading's date; why there is nothing is kept in
/// instrument_problem, since the row's own cells may say it all.
void read_instrument(const CellReader& cells, Circumstances& reading);

/// Azimuth, vertical and dip index errors, before the angles that they move are read.
MaybeProblem read_index_errors(const CellReader& cells, Reading& reading);

/// With the angles read: one that was taken with an instrument whose error in it nobody knows refuses the row.
MaybeProblem check_instrument(const CellReader& cells, const Reading& reading);

}  // namespace agonic::reading
