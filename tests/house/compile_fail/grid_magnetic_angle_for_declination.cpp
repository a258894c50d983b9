// The angle from grid to magnetic leads to the grid, not to true north.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Magnetic> needle, Declination d, GridMagneticAngle g) {
  static_cast<void>(d);
  static_cast<void>(g);
#ifdef AGONIC_CORRECTED
  return needle + d;
#else
  return needle + g;  // must not compile
#endif
}

}  // namespace agonic
