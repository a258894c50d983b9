// Declination, inclination and intensities from the components, with their yearly change.
//
// Equations as in the World Magnetic Model technical reports (doi:10.25923/ytk1-yx35): H^2 = X^2 + Y^2,
// F^2 = H^2 + Z^2, tan D = Y/X, tan I = Z/H, and their derivatives by time.

#include <cmath>

#include "model/field/field.hpp"
#include "model/units/angle.hpp"

namespace agonic::field {

Elements elements(const FieldVector& v) {
  Elements e;
  e.horizontal_nt = std::hypot(v.north_nt, v.east_nt);
  e.total_nt = std::hypot(e.horizontal_nt, v.down_nt);
  e.inclination_deg = std::atan2(v.down_nt, e.horizontal_nt) / kDegree;
  if (e.horizontal_nt > 0) {
    e.declination_deg = wrap_180(std::atan2(v.east_nt, v.north_nt) / kDegree);
    const double c = v.north_nt / e.horizontal_nt;
    const double s = v.east_nt / e.horizontal_nt;
    e.horizontal_nt_per_year = c * v.north_nt_per_year + s * v.east_nt_per_year;
    const double turning = (c * v.east_nt_per_year - s * v.north_nt_per_year) / e.horizontal_nt / kDegree;
    e.declination_deg_per_year = std::isfinite(turning) ? turning : 0;  // H below 1e-300: no direction to speak of
  } else {
    e.horizontal_nt_per_year = std::hypot(v.north_nt_per_year, v.east_nt_per_year);
  }
  if (e.total_nt > 0) {
    const double c = e.horizontal_nt / e.total_nt;
    const double s = v.down_nt / e.total_nt;
    e.total_nt_per_year = c * e.horizontal_nt_per_year + s * v.down_nt_per_year;
    const double tilting = (c * v.down_nt_per_year - s * e.horizontal_nt_per_year) / e.total_nt / kDegree;
    e.inclination_deg_per_year = std::isfinite(tilting) ? tilting : 0;
  }
  return e;
}

}  // namespace agonic::field
