#include "model/geodesy/projections.hpp"

#include <GeographicLib/MGRS.hpp>
#include <GeographicLib/PolarStereographic.hpp>
#include <GeographicLib/TransverseMercator.hpp>
#include <GeographicLib/UTMUPS.hpp>
#include <exception>

namespace agonic::geodesy {

using GeographicLib::UTMUPS;

static_assert(kUps == UTMUPS::UPS);

OnPlane transverse_mercator(double meridian_deg, double lat_deg, double lon_deg) {
  OnPlane at;
  double scale = 0;
  GeographicLib::TransverseMercator::UTM().Forward(meridian_deg, lat_deg, lon_deg, at.easting_m, at.northing_m,
                                                   at.convergence_deg, scale);
  return at;
}

OnPlane polar_stereographic(bool north, double lat_deg, double lon_deg) {
  OnPlane at;
  double scale = 0;
  GeographicLib::PolarStereographic::UPS().Forward(north, lat_deg, lon_deg, at.easting_m, at.northing_m,
                                                   at.convergence_deg, scale);
  return at;
}

int standard_zone(double lat_deg, double lon_deg) { return UTMUPS::StandardZone(lat_deg, lon_deg); }

std::optional<Geographic> from_utm_ups(int zone, bool north, double easting_m, double northing_m) {
  Geographic place;
  try {
    UTMUPS::Reverse(zone, north, easting_m, northing_m, place.lat_deg, place.lon_deg);
  } catch (const std::exception&) {
    return std::nullopt;
  }
  return place;
}

std::optional<MgrsSquare> mgrs_square(const std::string& mgrs) {
  MgrsSquare square;
  try {
    GeographicLib::MGRS::Reverse(mgrs, square.zone, square.north, square.easting_m, square.northing_m, square.digits,
                                 true);
  } catch (const std::exception&) {
    return std::nullopt;
  }
  return square;
}

}  // namespace agonic::geodesy
