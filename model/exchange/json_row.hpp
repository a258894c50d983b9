// One reading as a JSON object, or as a GeoJSON feature, to cells.
#pragma once

#include <optional>
#include <string_view>

#include "model/exchange/row.hpp"
#include "model/units/problem.hpp"

namespace agonic::exchange {

/// Fills the desk's cells and the place where members are added from `row.raw`, which kRowPadding readable bytes
/// follow. A row that is no sound object, has a known key twice or a value of a type that has no meaning gets its
/// problem.
/// @param again keys of added names are renamed to earlier_... (a copy of the row then) instead of refused
void read_json_row(Row& row, bool again, Desk& desk);
/// The same for a feature: `properties` are the columns, a Point gives lat, lon and height_m where no column does.
void read_feature_row(Row& row, bool again, Desk& desk);

/// Both as readers of a batch.
std::shared_ptr<const RowReader> json_row_reader(bool features, bool again);

/// A row of the first place that was corrected before, or whose names are taken, refuses the file.
std::optional<Problem> refuses_file(const RowReader& reader, std::string_view first_row);

}  // namespace agonic::exchange
