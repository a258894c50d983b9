// A setting belongs to a circle: the needle knows none.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<Magnetic> needle(Azimuth<Circle> reading, CircleSetting set) {
#ifdef AGONIC_CORRECTED
  return magnetic(reading, set, AzimuthIndexError{});
#else
  return magnetic(reading, set, AzimuthIndexError{}) - set;  // must not compile
#endif
}

}  // namespace agonic
