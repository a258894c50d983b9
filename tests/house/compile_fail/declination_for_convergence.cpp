// The two angles that meet at true north are not the same.
#include "model/units/angle.hpp"

namespace agonic {

GridMagneticAngle angle(Declination d, Convergence c) {
#ifdef AGONIC_CORRECTED
  return d - c;
#else
  return c - d;  // must not compile
#endif
}

}  // namespace agonic
