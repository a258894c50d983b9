#include "model/geodesy/place.hpp"

#include <cmath>

#include "model/geodesy/place_parts.hpp"
#include "model/units/angle.hpp"
#include "model/units/dms.hpp"
#include "model/units/number.hpp"

namespace agonic::geodesy {
namespace {

using Axis = Coordinate::Axis;

constexpr double kLowestHeight = -10'000;   // metres: the deepest ocean floor
constexpr double kHighestHeight = 850'000;  // metres: the publishers of the models vouch for them so far
constexpr std::size_t kLongestPlace = 200;  // bytes

Problem too_long(std::string_view text, std::string_view field) {
  return {Code::place_unreadable, std::string(field), std::string(text), "this is too long for a place",
          "Write it as 42.283 -71.35, 42\u00B017'N 71\u00B021'W, 19T 306300 4683600 or 19TCG0630083600."};
}

}  // namespace

Result<Place> checked_place(const PlaceText& lat_text, const PlaceText& lon_text, const Coordinate& lat,
                            const Coordinate& lon) {
  if (std::abs(lat.degrees) > 90) {
    const bool could_be_lon = lat.axis == Axis::unknown && lat.degrees >= -180 && lat.degrees <= 360;
    if (could_be_lon && lon.axis == Axis::unknown && std::abs(lon.degrees) <= 90)
      return lat_text.problem(Code::place_swapped,
                              "a latitude of " + format_trimmed(lat.degrees, 9) +
                                  " is impossible; latitude and longitude seem to be swapped",
                              "Give the latitude first, or write the letters N, S, E, W.");
    return lat_text.problem(Code::place_out_of_range, "a latitude lies between -90 and 90",
                            "Give the latitude in degrees; minutes are set apart, as in 42 17.5 or 42\u00B017.5'.");
  }
  if (lon.degrees < -180 || lon.degrees > 360)
    return lon_text.problem(Code::place_out_of_range, "a longitude lies between -180 and 360",
                            "Give the longitude in degrees; minutes are set apart, as in 71 21.5 or 71\u00B021.5'.");
  Place place;
  place.lat_deg = lat.degrees + 0.0;  // no -0
  place.lon_deg = wrap_180(lon.degrees);
  return place;
}

Result<Place> parse_place(std::string_view place, const Letters& letters, char decimal_mark) {
  const PlaceText text{place, "place", letters, decimal_mark};
  if (place.size() > kLongestPlace) return too_long(place, text.field);
  const std::string ascii = ascii_angle(place);
  if (auto grid = read_grid_place(text, trim(ascii))) return *std::move(grid);
  return read_lat_lon_place(text, trim(ascii));
}

Result<Place> parse_lat_lon(std::string_view lat, std::string_view lon, const Letters& letters, char decimal_mark) {
  const PlaceText lat_text{lat, "lat", letters, decimal_mark};
  const PlaceText lon_text{lon, "lon", letters, decimal_mark};
  const auto plain_lat = plain_decimal(trim(lat), decimal_mark), plain_lon = plain_decimal(trim(lon), decimal_mark);
  if (plain_lat && plain_lon)
    return checked_place(lat_text, lon_text, {*plain_lat, Axis::unknown}, {*plain_lon, Axis::unknown});
  if (lat.size() > kLongestPlace) return too_long(lat, lat_text.field);
  if (lon.size() > kLongestPlace) return too_long(lon, lon_text.field);
  const auto first = read_coordinate(lat_text, trim(ascii_angle(lat)));
  if (!first) return first.problem();
  const auto second = read_coordinate(lon_text, trim(ascii_angle(lon)));
  if (!second) return second.problem();
  if (first->axis == Axis::lon)
    return lat_text.problem(second->axis == Axis::lat ? Code::place_swapped : Code::contradiction,
                            "the letter says this is a longitude, and it stands for the latitude",
                            "Give the value with N or S as lat, the one with E or W as lon.");
  if (second->axis == Axis::lat)
    return lon_text.problem(Code::contradiction, "the letter says this is a latitude, and it stands for the longitude",
                            "Give the value with N or S as lat, the one with E or W as lon.");
  return checked_place(lat_text, lon_text, *first, *second);
}

Result<double> parse_height(std::string_view text, char decimal_mark) {
  const auto height = parse_number(text, decimal_mark);
  // The only exponent programs write for a height is that of one near zero: 1e-05.
  const std::size_t e = text.find_first_of("eE");
  const bool exponent = e != std::string_view::npos && (e + 1 == text.size() || text[e + 1] != '-');
  if (!height || exponent)
    return Problem{Code::not_a_number, "height_m", std::string(text), "this is not a height",
                   "Give metres above the ellipsoid or the sea as a plain number, such as 1000."};
  if (*height < kLowestHeight || *height > kHighestHeight)
    return Problem{Code::height_out_of_range, "height_m", std::string(text),
                   "heights between -10000 and 850000 metres are served", "Give the height in metres, not in feet."};
  return *height + 0.0;
}

}  // namespace agonic::geodesy
