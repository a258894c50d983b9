// Axes: x north, y east, z down. A line is (cos p cos t, cos p sin t, sin p); the pole of a plane of right-hand strike
// s and dip d has trend s - 90 and plunge 90 - d. Two directions span a plane with the pole a x b; two planes meet
// along the product of their poles.
//
// Fisher: with R the length of the sum of n unit vectors, kappa = (n - 1) / (n - R), and the half-angle of the cone
// that holds the mean with probability 1 - p is acos(1 - (n - R) / R ((1 / p)^(1 / (n - 1)) - 1)).
#include "model/survey/statistics.hpp"

#include <algorithm>
#include <cmath>

#include "model/reading/notation.hpp"
#include "model/reading/plane.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::survey {
namespace {

using Vector = std::array<double, 3>;
using reading::PlaneConvention;

constexpr double kParallel = 1e-9;  // sine of the angle below which two directions are one

Vector vector_of(const Line& line) {
  const double level = cos_deg(line.plunge_deg);
  return {level * cos_deg(line.trend_deg), level * sin_deg(line.trend_deg), sin_deg(line.plunge_deg)};
}
Vector cross(const Vector& a, const Vector& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
double length(const Vector& v) { return std::hypot(v[0], v[1], v[2]); }

// The direction of a vector, by whichever end points down.
Line line_of(Vector v) {
  if (v[2] < 0) v = {-v[0], -v[1], -v[2]};
  return {wrap_360(std::atan2(v[1], v[0]) / kDegree), std::atan2(v[2], std::hypot(v[0], v[1])) / kDegree};
}
Plane plane_with_pole(const Vector& v) {
  const Line upright = line_of(v);
  return {wrap_360(upright.trend_deg + 90), 90 - upright.plunge_deg};
}

Problem no_mean(std::string field, std::string message) {
  return {Code::missing_value, std::move(field), {}, std::move(message), "Give directions that have one"};
}

// Of the angles times `fold`; the mean comes back divided by it.
Result<CircularMean> folded_mean(std::span<const double> azimuths_deg, double fold) {
  if (azimuths_deg.empty()) return no_mean("azimuth", "there is no direction to take the mean of");
  double north = 0, east = 0;
  for (const double azimuth : azimuths_deg) {
    if (!std::isfinite(azimuth))
      return Problem{Code::not_a_number, "azimuth", {}, "a direction is not finite", "Leave it out"};
    north += cos_deg(azimuth * fold);
    east += sin_deg(azimuth * fold);
  }
  const auto n = static_cast<double>(azimuths_deg.size());
  CircularMean out;
  out.count = azimuths_deg.size();
  out.resultant_length = std::min(std::hypot(north, east) / n, 1.0);
  if (out.resultant_length < kNoMeanBelow) return no_mean("azimuth", "the directions cancel: they have no mean");
  out.mean_deg = wrap_360(std::atan2(east, north) / kDegree) / fold;
  out.standard_deviation_deg = std::sqrt(-2 * std::log(out.resultant_length)) / kDegree / fold;
  return out;
}

}  // namespace

Result<CircularMean> circular_mean(std::span<const double> azimuths_deg) { return folded_mean(azimuths_deg, 1); }
Result<CircularMean> axial_mean(std::span<const double> azimuths_deg) { return folded_mean(azimuths_deg, 2); }

Result<FisherMean> fisher_mean(std::span<const Line> lines) {
  if (lines.size() < 2) return no_mean("plunge", "the mean of lines and its cone need two lines at least");
  Vector sum{};
  for (const Line& line : lines) {
    if (!std::isfinite(line.trend_deg) || !std::isfinite(line.plunge_deg))
      return Problem{Code::not_a_number, "plunge", {}, "a line is not finite", "Leave it out"};
    const Vector v = vector_of(line);
    for (std::size_t i = 0; i < 3; ++i) sum[i] += v[i];
  }
  const auto n = static_cast<double>(lines.size());
  const double r = std::min(length(sum), n);
  FisherMean out;
  out.count = lines.size();
  out.resultant_length = r / n;
  if (out.resultant_length < kNoMeanBelow) return no_mean("plunge", "the lines cancel: they have no mean");
  out.mean = line_of(sum);
  if (n - r > n * 1e-15) out.kappa = (n - 1) / (n - r);
  const double cosine = 1 - (n - r) / r * (std::pow(1 / 0.05, 1 / (n - 1)) - 1);
  out.cone_95_deg = std::acos(std::clamp(cosine, -1.0, 1.0)) / kDegree;
  return out;
}

double azimuth_in(PlaneConvention convention, const Plane& plane) noexcept {
  switch (convention) {
    case PlaneConvention::left_hand:
      return wrap_360(plane.strike_deg + 180);
    case PlaneConvention::dip_direction:
      return wrap_360(plane.strike_deg + 90);
    case PlaneConvention::right_hand:
    case PlaneConvention::quadrant:
      break;
  }
  return wrap_360(plane.strike_deg);
}

Plane plane_of(PlaneConvention convention, double azimuth_deg, double dip_deg) noexcept {
  // Each turn is its own inverse but for the dip direction's 90.
  if (convention == PlaneConvention::dip_direction) return {wrap_360(azimuth_deg - 90), dip_deg};
  return {azimuth_in(convention, {azimuth_deg, dip_deg}), dip_deg};
}

std::string plane_text(PlaneConvention convention, const Plane& plane) {
  std::string dip = format_fixed(plane.dip_deg, 0);
  if (dip.size() < 2) dip.insert(0, "0");
  if (convention == PlaneConvention::quadrant) {
    // The northern end of the strike is the one written.
    const double strike = plane.strike_deg > 90 && plane.strike_deg < 270 ? plane.strike_deg + 180 : plane.strike_deg;
    return reading::quadrant_text(std::nearbyint(wrap_360(strike)), {true, false, false}) + " " + dip +
           std::string(reading::nearest_point(plane.strike_deg + 90));
  }
  std::string azimuth = format_azimuth(azimuth_in(convention, plane), 0);
  azimuth.insert(0, 3 - std::min<std::size_t>(azimuth.size(), 3), '0');
  return azimuth + "/" + dip;
}

Line pole(const Plane& plane) noexcept { return {wrap_360(plane.strike_deg - 90), 90 - plane.dip_deg}; }

double apparent_dip(const Plane& plane, double trend_deg) noexcept {
  const double across = sin_deg(trend_deg - plane.strike_deg);
  return std::atan2(sin_deg(plane.dip_deg) * across, cos_deg(plane.dip_deg)) / kDegree;
}

Result<double> true_dip(double strike_deg, double trend_deg, double apparent_dip_deg) {
  const double across = std::abs(sin_deg(trend_deg - strike_deg));
  if (across < kParallel)
    return Problem{Code::contradiction, "dip", format_trimmed(apparent_dip_deg),
                   "along the strike every plane looks level: the true dip cannot be told",
                   "Give an apparent dip across the strike"};
  return std::atan2(std::abs(sin_deg(apparent_dip_deg)), cos_deg(apparent_dip_deg) * across) / kDegree;
}

double rake_of(const Plane& plane, double trend_deg) noexcept {
  // The vector of the line along the strike and down the dip.
  const double plunge = apparent_dip(plane, trend_deg);
  const double along = cos_deg(plunge) * cos_deg(trend_deg - plane.strike_deg);
  const double rake = std::acos(std::clamp(along, -1.0, 1.0)) / kDegree;
  return plunge < 0 ? 180 - rake : rake;
}

Result<Plane> plane_through(const Line& a, const Line& b) {
  const Vector upright = cross(vector_of(a), vector_of(b));
  if (length(upright) < kParallel)
    return Problem{Code::contradiction, "trend", format_trimmed(b.trend_deg),
                   "the two lines are one: every plane about it holds both", "Give two lines that differ"};
  return plane_with_pole(upright);
}

Result<Plane> plane_through(const std::array<std::array<double, 3>, 3>& points) {
  std::array<Vector, 2> sides;
  for (std::size_t i = 0; i < 2; ++i)
    sides[i] = {points[i + 1][1] - points[0][1], points[i + 1][0] - points[0][0], points[0][2] - points[i + 1][2]};
  const Vector upright = cross(sides[0], sides[1]);
  if (!(length(upright) > kParallel * length(sides[0]) * length(sides[1])))
    return Problem{Code::contradiction, "points", {}, "the three points lie in a row", "Give three that do not"};
  return plane_with_pole(upright);
}

Result<Line> intersection(const Plane& a, const Plane& b) {
  const Vector along = cross(vector_of(pole(a)), vector_of(pole(b)));
  if (length(along) < kParallel)
    return Problem{Code::contradiction, "dip", format_trimmed(b.dip_deg), "the two planes are parallel",
                   "Give two planes that meet"};
  return line_of(along);
}

}  // namespace agonic::survey
