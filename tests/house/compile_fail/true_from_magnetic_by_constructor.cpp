// Not even a written conversion makes a magnetic azimuth true.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Magnetic> needle, Declination d) {
  static_cast<void>(d);
#ifdef AGONIC_CORRECTED
  return needle + d;
#else
  return Azimuth<True>(needle);  // must not compile
#endif
}

}  // namespace agonic
