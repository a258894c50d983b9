// A grid azimuth is not taken for a true one.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Grid> on_map, Convergence c) {
  static_cast<void>(c);
#ifdef AGONIC_CORRECTED
  return on_map + c;
#else
  return on_map;  // must not compile
#endif
}

}  // namespace agonic
