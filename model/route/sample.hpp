// The field along a route: at the stops, and between them along geodesics, as finely as the declination bends.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "model/field/declination.hpp"

namespace agonic::route {

/// One place of the way with the field there and then.
struct Sample {
  field::Spot spot;
  double km = 0;  ///< along geodesics from the first stop
  field::FieldAnswer field;
  std::optional<std::size_t> stop;  ///< which of the stops it is; empty between them
};

/// A leg is looked at every 100 km or eighth of the model's shortest wave (40000 km over its degree), whichever is
/// less, and every year of its duration; then halved wherever the declination half-way differs by more than kBendDeg
/// from the mean of both ends, or turns by more than `largest_step_deg`, or the needle's zone changes within more than
/// a kilometre. Where the needle is unusable at both ends and half-way nothing is halved.
inline constexpr double kBendDeg = 0.01;
inline constexpr double kLongestStepKm = 100;
inline constexpr double kZoneKm = 1;
/// Most samples of a route; a longer one is refused.
inline constexpr std::size_t kMostSamples = 60000;

/// The distances of the stops from the first, km along WGS84 geodesics (Karney 2013, doi:10.1007/s00190-012-0578-z).
std::vector<double> distances_km(std::span<const field::Spot> stops);

/// A leg longer than this is nearly half-way round the earth, where the shortest line is not one but many.
inline constexpr double kAntipodalKm = 19900;

/// The stops with the field at them, which `fields` holds already; between them, with `legs`, as many more as are
/// needed. Height and date change evenly along a leg.
/// Between them a sample also stands where a setting within `tolerance_deg` must end: where the declination is a
/// multiple of `graduation_deg` plus or minus the tolerance. So pieces between neighbouring samples can always be set
/// for.
/// @param largest_step_deg > 0; steps within a jump (a pole, a join of two models) stay larger
Result<std::vector<Sample>> samples(const field::Catalogue& catalogue, std::string_view model,
                                    std::span<const field::Spot> stops, std::span<const field::FieldAnswer> fields,
                                    bool legs, double largest_step_deg, double graduation_deg, double tolerance_deg);

}  // namespace agonic::route
