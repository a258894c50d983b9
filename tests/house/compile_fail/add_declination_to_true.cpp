// A true azimuth is true already: the declination cannot be added a second time.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Magnetic> needle, Declination d) {
  const Azimuth<True> once = needle + d;
#ifdef AGONIC_CORRECTED
  return once;
#else
  return once + d;  // must not compile
#endif
}

}  // namespace agonic
