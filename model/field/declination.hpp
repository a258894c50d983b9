// Declination with its uncertainty, needle zone and warnings: what every answer and every corrected row starts from.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "model/field/catalogue.hpp"
#include "model/field/field.hpp"

namespace agonic::field {

/// Needle zones by horizontal intensity, as drawn in the WMM2020 technical report (doi:10.25923/ytk1-yx35).
enum class Needle { usable, caution, unusable };
inline constexpr double kNeedleUnusableNt = 2000;  ///< below: no corrected azimuth by default
inline constexpr double kNeedleCautionNt = 6000;   ///< below: caution
Needle needle(double horizontal_nt) noexcept;
std::string_view word(Needle needle) noexcept;

/// Uncertainty of D for a year's mean at a quiet site; the daily swing and storms come on top.
struct DeclinationUncertainty {
  double sigma_deg = 0;          ///< 1-sigma, capped at 180
  double half_width_95_deg = 0;  ///< capped at 180
  std::string_view sigma_basis;  ///< static text (or owned by the model): where both figures come from
};
/// @param horizontal_nt from the model, > 0
DeclinationUncertainty declination_uncertainty(const CoefficientSet& model, double decimal_year, double horizontal_nt);

/// Stands for an infinite tilt error (a needle that hangs upright), so that every number stays finite.
inline constexpr double kLevelLostTilt = 1e9;

/// The field and what follows, for one place and date.
struct FieldAnswer {
  const CoefficientSet* model = nullptr;
  FieldVector vector;
  Elements elements;
  double sigma_deg = 0;                 ///< the seam's step included
  double half_width_95_deg = 0;         ///< the seam's step included
  std::string_view sigma_basis;         ///< as in DeclinationUncertainty
  std::optional<double> seam_step_deg;  ///< D(newer) - D(older) at the join, when near one with model=auto
  const CoefficientSet* seam_neighbour = nullptr;
  double seam_year = 0;
  Needle needle = Needle::usable;
  /// |tan I|: azimuth error per degree off level, at worst; at most kLevelLostTilt, as where H is 0.
  double tilt_error_deg_per_deg = 0;
  std::optional<double> small_scale_deg;  ///< D(wmmhr2025) - D(wmm2025) where both serve the date
  double small_scale_sigma_deg = 0;       ///< with it: 1-sigma of wmm2025 there
};

/// Where and when: geodetic degrees (WGS84), north and east positive, metres above the ellipsoid.
struct Spot {
  double lat_deg = 0, lon_deg = 0, height_m = 0, decimal_year = 0;
};

/// One place and date with everything. Refuses what Catalogue::choose refuses, and a place or height outside
/// latitude [-90, 90], longitude [-180, 360], height [-10000, 850000] m.
Result<FieldAnswer> field_answer(const Catalogue& catalogue, std::string_view model, const Spot& spot);

/// The same for many spots (each may use another model under `auto`), grouped by model for speed.
/// Leaves out small_scale_deg unless asked. One result a spot, in order.
std::vector<Result<FieldAnswer>> field_answers(const Catalogue& catalogue, std::string_view model,
                                               std::span<const Spot> spots, bool with_small_scale = false);

/// The warnings an answer carries, as full sentences in a fixed order: needle, tilt, seam, small-scale field,
/// undefined declination.
std::vector<std::string> warnings(const FieldAnswer& answer);

}  // namespace agonic::field
