// The projections behind UTM, UPS and MGRS. In the programs GeographicLib computes them (projections.cpp); the page,
// which has no GeographicLib, uses the series of projections_series.hpp. A test holds one against the other.
//
// Source: NGA.SIG.0012, The Universal Grids and the Transverse Mercator and Polar Stereographic Map Projections.
#pragma once

#include <optional>
#include <string>

namespace agonic::geodesy {

/// A place on the plane of a projection, without false easting and northing.
struct OnPlane {
  double easting_m = 0, northing_m = 0;
  double convergence_deg = 0;  ///< from true north to grid north, east positive
};

struct Geographic {
  double lat_deg = 0, lon_deg = 0;  ///< WGS84; the longitude in [-180, 180]
};

/// A square of MGRS: its centre, with false easting and northing.
struct MgrsSquare {
  int zone = 0;  ///< kUps near the poles
  bool north = false;
  double easting_m = 0, northing_m = 0;
  int digits = 0;  ///< of each axis, 0 to 11
};

inline constexpr int kUps = 0;

/// Transverse Mercator on WGS84 with the scale of UTM. |lon - meridian| <= 60 degrees.
OnPlane transverse_mercator(double meridian_deg, double lat_deg, double lon_deg);
/// Polar stereographic on WGS84 with the scale of UPS.
OnPlane polar_stereographic(bool north, double lat_deg, double lon_deg);
/// 1 to 60 with Norway and Svalbard, or kUps.
int standard_zone(double lat_deg, double lon_deg);
/// From UTM or UPS (zone kUps) with false easting and northing; nothing where there is no such place.
std::optional<Geographic> from_utm_ups(int zone, bool north, double easting_m, double northing_m);
/// Nothing for a square that does not exist.
/// @param mgrs zone, band and square in capitals without spaces, as `18TWL8562811322`
std::optional<MgrsSquare> mgrs_square(const std::string& mgrs);

}  // namespace agonic::geodesy
