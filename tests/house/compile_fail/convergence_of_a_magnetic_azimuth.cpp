// Convergence leads from grid to true, never from the needle.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Magnetic> needle, Declination d, Convergence c) {
  static_cast<void>(d);
  static_cast<void>(c);
#ifdef AGONIC_CORRECTED
  return needle + d;
#else
  return needle + c;  // must not compile
#endif
}

}  // namespace agonic
