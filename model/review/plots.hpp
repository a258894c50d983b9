// The report's plots as drawings; pixels, without a background, so that a page can put them on light and dark.
#pragma once

#include <optional>

#include "model/paper/drawing.hpp"
#include "model/review/findings.hpp"

namespace agonic::review {

/// Rose of all azimuths in sectors of 10 degrees, areas in proportion to counts; planes by both ends of their strike.
/// @param as_read as they stand in the file, else referred to true north. Nothing where there are none.
std::optional<paper::Drawing> rose(const Report& report, bool as_read);
/// The declination of every row over its date, and what was set or applied beside it.
std::optional<paper::Drawing> declination_over_time(const Report& report);
/// How far readings stand from the mean of their line, group by group: by instrument, else observer, year or sheet,
/// whatever first has two groups. Nothing where no line was read twice.
std::optional<paper::Drawing> residuals_by_group(const Report& report);

}  // namespace agonic::review
