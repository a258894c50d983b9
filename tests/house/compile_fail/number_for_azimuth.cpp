// A bare number does not say from which north it counts.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(double degrees) {
#ifdef AGONIC_CORRECTED
  return Azimuth<True>(degrees);
#else
  return degrees;  // must not compile
#endif
}

}  // namespace agonic
