// One reading as a JSON object, or as a GeoJSON feature, to cells.
#pragma once

#include <optional>
#include <string_view>

#include "model/exchange/row.hpp"
#include "model/units/problem.hpp"

namespace agonic::exchange {

/// Fills cells and the place where members are added from `row.raw`. A row that is no sound object, has a known key
/// twice or a value of a type that has no meaning gets its problem.
/// @param again keys of added names are renamed to earlier_... in `row.raw` instead of refused
void read_json_row(Row& row, bool again);
/// The same for a feature: `properties` are the columns, a Point gives lat, lon and height_m where no column does.
void read_feature_row(Row& row, bool again);

}  // namespace agonic::exchange
