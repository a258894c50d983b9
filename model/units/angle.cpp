#include "model/units/angle.hpp"

#include <cmath>

namespace agonic {

double wrap_360(double degrees) noexcept {
  // The usual cases without a division: the differences are exact within a factor of two (Sterbenz), and fmod's own
  // steps elsewhere.
  if (degrees >= 0 && degrees < 360) return degrees + 0.0;
  if (degrees >= 360 && degrees < 720) return degrees - 360;
  double wrapped = std::fmod(degrees, 360.0);
  if (wrapped < 0) wrapped += 360.0;
  if (wrapped >= 360.0) wrapped = 0.0;  // a tiny negative rounds up to 360
  return wrapped + 0.0;                 // no -0
}

double wrap_180(double degrees) noexcept {
  if (degrees > -180 && degrees <= 180) return degrees + 0.0;
  const double wrapped = std::remainder(degrees, 360.0);
  return wrapped == -180.0 ? 180.0 : wrapped + 0.0;
}

namespace {
// Reduced to [-45, 45] and a quarter, so that multiples of 90 give exact results.
struct Reduced {
  double radians;
  int quarter;
};
Reduced reduce(double degrees) noexcept {
  int quarter = 0;
  const double rest = std::remquo(degrees, 90.0, &quarter);
  return {rest * kDegree, quarter & 3};
}
}  // namespace

double sin_deg(double degrees) noexcept {
  const Reduced r = reduce(degrees);
  switch (r.quarter) {
    case 0:
      return std::sin(r.radians);
    case 1:
      return std::cos(r.radians);
    case 2:
      return -std::sin(r.radians);
    default:
      return -std::cos(r.radians);
  }
}

double cos_deg(double degrees) noexcept { return sin_deg(degrees + 90.0); }

}  // namespace agonic
