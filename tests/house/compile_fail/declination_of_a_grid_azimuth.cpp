// Declination leads from magnetic to true, never from the grid.
#include "model/units/angle.hpp"

namespace agonic {

Azimuth<True> line(Azimuth<Grid> on_map, Declination d, Convergence c) {
  static_cast<void>(d);
  static_cast<void>(c);
#ifdef AGONIC_CORRECTED
  return on_map + c;
#else
  return on_map + d;  // must not compile
#endif
}

}  // namespace agonic
