// Lines of a chart for the page: quick enough to follow a slider.
#pragma once

#include <chrono>
#include <string>

#include "model/field/catalogue.hpp"
#include "model/units/parameters.hpp"

namespace agonic {

/// The parameters of a chart (bbox, quantity, date, interval, step_deg, model) to one JSON object:
///
///   quantity, unit, interval, step_deg, decimal_year, date
///   model, model_valid_from, model_valid_to; neighbour and seam_year where the join of two models is near
///   sigma_deg, half_width_95_deg   [least, most] where the needle is usable; null where it is so nowhere
///   scale                          steps a degree
///   levels                         [{"level", "text", "lines": [[closed 0 or 1, x, y, dx, dy, ...]]}]
///   unusable, caution              polygons of rings [x, y, dx, dy, ...]: H below 2000 nT, and 2000 to 6000
///
/// x and y are longitude (beyond 180 where the box is) and latitude in whole steps, each after the first as the
/// difference from the one before. A line is within about a hundredth of a grid step of its place.
Result<std::string> chart_call(const field::Catalogue& catalogue, const Parameters& parameters,
                               std::chrono::sys_days today);

}  // namespace agonic
