// A file of sightings, CSV or JSON, to rows of text.
#pragma once

#include <string_view>
#include <vector>

#include "model/sightings/columns.hpp"
#include "model/units/parameters.hpp"
#include "model/units/problem.hpp"

namespace agonic::sightings {

/// More are refused: a fit looks at all of them together.
inline constexpr std::size_t kMostRows = 5000;
inline constexpr std::size_t kMostBytes = 8u << 20;

/// CSV with a header, in UTF-8. The delimiter is told from the header, a decimal comma from the cells, unless
/// `delimiter` (comma, semicolon, tab) and `decimal` (point, comma) say so. A row with the wrong number of cells gets
/// its problem; a misspelt column is refused, another passes unread.
Result<std::vector<Row>> read_csv(std::string_view text, const Parameters& options);

/// `{"sightings": [{...}, ...]}`, or the array alone; `defaults` as members of the object go into `options` where these
/// do not name them. Values are text or numbers, true and false for backsight; null is blank.
Result<std::vector<Row>> read_json(std::string_view text, Parameters& options);

}  // namespace agonic::sightings
