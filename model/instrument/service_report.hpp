// Which instruments of a set need service.
#pragma once

#include <chrono>
#include <string>
#include <string_view>
#include <vector>

#include "model/instrument/record.hpp"

namespace agonic::instrument {

/// Thresholds, each named here alone.
namespace service_limit {
/// Degrees. A hand compass that is off by more on a known line is rejected (field practice of armies' manuals).
inline constexpr double index_deg = 3;
/// Degrees. A varying error beyond this is damage or iron, not calibration; for a ship's standard compass ISO 25862
/// allows 5 degrees.
inline constexpr double magnetised_deg = 5;
/// Years after which a fit is made anew, as ISO 25862 asks for deviation tables.
inline constexpr int stale_years = 2;
}  // namespace service_limit

/// One reason for service, in plain words.
struct Finding {
  std::string_view code;  ///< no-record, not-known, large-index-error, magnetised, left-set, stale-fit, setting-unknown
  std::string text;
};

/// What calls for service on a day; empty: nothing does.
std::vector<Finding> service_findings(const Record& record, std::chrono::sys_days day);

}  // namespace agonic::instrument
