// An instrument's index error in azimuth, found from sightings of directions that are known.
//
// index(m) = A + B sin m + C cos m + D sin 2m + E cos 2m, reading minus truth, over the magnetic azimuth m sighted: one
// number where that is enough, the curve where the headings cover the circle and the sightings ask for it. Gross errors
// are left out and named. What cannot be told apart from the constant (the error of the declination at the site) goes
// into its uncertainty. Sources: least_squares.hpp; the shape of the curve as in index_curve.hpp.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/instrument/blunder.hpp"
#include "model/instrument/index_covariance.hpp"
#include "model/instrument/index_curve.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

/// One sighting of a direction that is known.
struct Observation {
  double reading_deg = 0;   ///< as read off the circle
  double set_deg = 0;       ///< what was set on it, east positive
  double magnetic_deg = 0;  ///< the truth: the magnetic azimuth of what was sighted
  double sigma_deg = 0.5;   ///< 1-sigma of this reading against this truth, > 0; what is common to a site left out
  bool sigma_stated = false;
  std::vector<Explanation> mistakes;  ///< those that only the caller can compute; the two of the dial are known here
  [[nodiscard]] double index_deg() const noexcept;  ///< reading - set - truth, (-180, 180]
};

/// How many coefficients the curve has: A; A, B, C; A to E.
enum class Shape { constant = 1, semicircular = 3, full = 5 };
std::string_view word(Shape shape) noexcept;

// The rule for a curve, in one place (our own judgement): so many sightings, no larger gap between their headings, so
// many headings apart, and an F test against the simpler shape that chance alone would pass once in a hundred.
inline constexpr std::size_t kFullSightings = 8, kSemicircularSightings = 6;
inline constexpr double kFullGapDeg = 90, kSemicircularGapDeg = 120;
inline constexpr std::size_t kFullHeadings = 6, kSemicircularHeadings = 4;
inline constexpr double kHeadingApartDeg = 10;
inline constexpr double kCurveChance = 0.01;
/// Sightings that agree lie this near to each other before any curve is known.
inline constexpr double kAgreeDeg = 25;
/// Beyond these the fit asks: was the circle left set; is the needle magnetised (our own judgement).
inline constexpr double kLargeConstantDeg = 5, kLargeCurveDeg = 5;
/// A constant this near to D or -D looks like a setting.
inline constexpr double kLooksSetDeg = 1.5;

/// What the sightings share.
struct FitContext {
  double common_sigma_deg = 0;            ///< 1-sigma of the declination, the same for all: never averaged down
  double floor_sigma_deg = 0;             ///< the daily swing: the constant is never known better
  std::optional<double> declination_deg;  ///< to recognise a circle that was left set
};

/// The daily swing of a needle as 1-sigma, degrees, by latitude (common practice; at 55 north 0.09 in 2003, and more
/// toward the aurora).
double daily_swing_deg(double lat_deg) noexcept;

/// What became of one sighting.
struct Outcome {
  double index_deg = 0;     ///< reading minus truth
  double residual_deg = 0;  ///< its index error minus the fitted one, (-180, 180]
  double sigma_deg = 0;     ///< a priori
  bool used = false;
  Blunder blunder = Blunder::none;  ///< why it was left out
  std::vector<Blunder> or_else;     ///< other explanations that fit as well
};

/// A question or caution about a fit: a public word and a full sentence.
struct Remark {
  std::string_view code;
  std::string text;
};

/// The index error in azimuth.
struct AzimuthFit {
  Shape shape = Shape::constant;
  IndexCurve curve;
  IndexCovariance covariance;    ///< with the common sigma and the floor
  IndexCovariance of_sightings;  ///< of the scatter alone
  double scatter_deg = 0;        ///< 1-sigma of one sighting by the residuals; 0 where there are none to spare
  int dof = 0;
  std::size_t used = 0, left_out = 0;
  double largest_gap_deg = 360;   ///< between the headings used
  std::string rule;               ///< why this shape
  std::vector<Outcome> outcomes;  ///< one a sighting, in order
  std::vector<Remark> remarks;
};

/// Refuses sightings of which no more than half agree, saying if they would with the figures read the other way.
Result<AzimuthFit> fit_azimuth(std::span<const Observation> observations, const FitContext& context);

/// The result in the form in which an instrument's record keeps it: a version of its index errors.
struct Fit {
  std::optional<IndexCurve> azimuth;
  IndexCovariance azimuth_covariance;
  std::optional<double> vertical_deg, vertical_sigma_deg;                        ///< reads too high: positive
  std::optional<double> dip_deg, dip_sigma_deg;                                  ///< reads too steep: positive
  std::size_t azimuth_sightings = 0, vertical_sightings = 0, dip_sightings = 0;  ///< those used
  std::string first_date, last_date;                                             ///< ISO days of the sightings
  std::string how;                                                               ///< in words, for the record
};

}  // namespace agonic::instrument
