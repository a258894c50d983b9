// What was read off a turned circle is no magnetic azimuth until setting and index error are off.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Circle> reading, Declination d) {
#ifdef AGONIC_CORRECTED
  return magnetic(reading, CircleSetting{}, AzimuthIndexError{}) + d;
#else
  return reading + d;  // must not compile
#endif
}

}  // namespace agonic
