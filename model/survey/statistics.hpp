// Means of directions, and the few sums about planes and lines that the summary of a corrected data set needs.
//
// K. V. Mardia and P. E. Jupp, Directional Statistics (2000), doi:10.1002/9780470316979: circular and axial means.
// R. A. Fisher, Dispersion on a sphere (1953), doi:10.1098/rspa.1953.0064: the mean of lines and its cone.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>

#include "model/reading/reading.hpp"
#include "model/units/problem.hpp"

namespace agonic::survey {

/// Below this mean resultant length directions cancel, and a mean has no meaning.
inline constexpr double kNoMeanBelow = 1e-9;

struct CircularMean {
  double mean_deg = 0;                ///< [0, 360); of axes [0, 180)
  double resultant_length = 0;        ///< R over n, (0, 1]; of axes that of the doubled angles
  double standard_deviation_deg = 0;  ///< sqrt(-2 ln R), of axes half of it for the doubled angles
  std::size_t count = 0;
};
/// The mean of directions, which 359 and 1 do not spoil. Refuses nothing at all, what is not finite, and directions
/// that cancel. Field "azimuth".
Result<CircularMean> circular_mean(std::span<const double> azimuths_deg);
/// The mean of axes (strikes without a dip: 10 and 190 are the same), by doubled angles.
Result<CircularMean> axial_mean(std::span<const double> azimuths_deg);

/// A line pointing down: trend [0, 360), plunge [0, 90], degrees.
struct Line {
  double trend_deg = 0, plunge_deg = 0;
};
/// A plane by its right-hand strike [0, 360) and dip [0, 90], degrees.
struct Plane {
  double strike_deg = 0, dip_deg = 0;
};

struct FisherMean {
  Line mean;
  double resultant_length = 0;  ///< R over n, (0, 1]
  std::optional<double> kappa;  ///< (n - 1) / (n - R); none where all lines are one
  double cone_95_deg = 0;       ///< half-angle about the mean, [0, 180]
  std::size_t count = 0;
};
/// The mean of lines with its 95 % cone. They are taken as they point: axes on both sides of the horizon must be
/// turned to one side first. A mean that points up is given by its other end. Needs two lines; field "plunge".
Result<FisherMean> fisher_mean(std::span<const Line> lines);

/// The plane's azimuth in a convention: right-hand strike, left-hand strike or dip direction; quadrant gives the
/// right-hand strike.
double azimuth_in(reading::PlaneConvention convention, const Plane& plane) noexcept;
/// The inverse. A strike in quadrant notation needs the side the dip points to: reading::dip_direction_offset().
Plane plane_of(reading::PlaneConvention convention, double azimuth_deg, double dip_deg) noexcept;
/// `030/50` (a strike or a dip direction before its dip) or, in quadrant notation, `N30E 50SE`. Whole degrees.
std::string plane_text(reading::PlaneConvention convention, const Plane& plane);

/// The line that stands upright on the plane.
Line pole(const Plane& plane) noexcept;
/// Where a line of this trend lies in the plane: its plunge (the apparent dip), negative where it points up.
double apparent_dip(const Plane& plane, double trend_deg) noexcept;
/// The true dip from the strike and an apparent dip. Refuses a trend along the strike. Field "dip".
Result<double> true_dip(double strike_deg, double trend_deg, double apparent_dip_deg);
/// The rake [0, 180] of a line in the plane from the right-hand strike, by its trend; a line that would point up is
/// taken by its other end. The inverse is reading::line_in_plane().
double rake_of(const Plane& plane, double trend_deg) noexcept;
/// The plane that holds two lines (two apparent dips). Refuses lines that are one. Field "trend".
Result<Plane> plane_through(const Line& a, const Line& b);
/// The plane through three points, each easting, northing, height in one unit. Refuses points in a row.
Result<Plane> plane_through(const std::array<std::array<double, 3>, 3>& points);
/// The line in which two planes meet. Refuses parallel planes. Field "dip".
Result<Line> intersection(const Plane& a, const Plane& b);

}  // namespace agonic::survey
