// What an answer warns of, each with its code.
#pragma once

#include <vector>

#include "model/field/declination.hpp"
#include "model/units/warning.hpp"

namespace agonic::field {

/// Azimuth error per degree off level that is warned of: tan 80, where the field dips by 80 degrees.
inline constexpr double kTiltWarning = 5.671281819617709;

/// The warnings an answer carries, in a fixed order: needle, tilt, seam, small-scale field, undefined declination.
std::vector<Warning> coded_warnings(const FieldAnswer& answer);

}  // namespace agonic::field
