// What a fit proposes for the record of an instrument.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "model/instrument/record_json.hpp"
#include "model/sightings/report.hpp"
#include "model/units/problem.hpp"

namespace agonic::sightings {

/// Index errors that hold from the first day of the sightings on, one a kind that was found: azimuth, vertical, dip.
/// Refuses a magnetised instrument (Code::index_curve) and a report without any result.
/// @param why for the record; empty: says that it was fitted
Result<std::vector<instrument::Proposal>> proposals(const InstrumentReport& found, std::string_view why);

}  // namespace agonic::sightings
