// The projections of projections.hpp by series, without any library: for the page. Beside GeographicLib they agree to
// kSeriesAgreesDeg in convergence, latitude and longitude wherever a zone of UTM or UPS reaches.
#pragma once

#include "model/geodesy/projections.hpp"

namespace agonic::geodesy::series {

inline constexpr double kSeriesAgreesDeg = 1e-10;

OnPlane transverse_mercator(double meridian_deg, double lat_deg, double lon_deg);
OnPlane polar_stereographic(bool north, double lat_deg, double lon_deg);
int standard_zone(double lat_deg, double lon_deg);
std::optional<Geographic> from_utm_ups(int zone, bool north, double easting_m, double northing_m);
std::optional<MgrsSquare> mgrs_square(const std::string& mgrs);

}  // namespace agonic::geodesy::series
