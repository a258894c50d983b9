// A bare number does not say from which north to which it leads.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Magnetic> needle, double d) {
#ifdef AGONIC_CORRECTED
  return needle + Declination{d};
#else
  return needle + d;  // must not compile
#endif
}

}  // namespace agonic
