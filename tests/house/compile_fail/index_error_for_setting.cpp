// Index error and setting do not change places.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<Magnetic> needle(Azimuth<Circle> reading, CircleSetting set, AzimuthIndexError index) {
#ifdef AGONIC_CORRECTED
  return magnetic(reading, set, index);
#else
  return magnetic(reading, index, set);  // must not compile
#endif
}

}  // namespace agonic
