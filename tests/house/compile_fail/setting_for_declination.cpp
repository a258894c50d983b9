// What was set is not what should have been set.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Magnetic> needle, Declination d, CircleSetting set) {
  static_cast<void>(d);
  static_cast<void>(set);
#ifdef AGONIC_CORRECTED
  return needle + d;
#else
  return needle + set;  // must not compile
#endif
}

}  // namespace agonic
