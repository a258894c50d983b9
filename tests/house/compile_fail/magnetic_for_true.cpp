// A magnetic azimuth is not taken for a true one.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Magnetic> needle, Declination d) {
  static_cast<void>(d);
#ifdef AGONIC_CORRECTED
  return needle + d;
#else
  return needle;  // must not compile
#endif
}

}  // namespace agonic
