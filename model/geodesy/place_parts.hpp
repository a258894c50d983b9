// The pieces place.cpp is put together from; not for use outside this folder.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "model/geodesy/place.hpp"

namespace agonic::geodesy {

/// What every reader of a place is given.
struct PlaceText {
  std::string_view original;  ///< as given, for problems
  std::string_view field;     ///< "place", "lat" or "lon"
  const Letters& letters;
  char mark;

  [[nodiscard]] Problem problem(Code code, std::string message, std::string remedy) const {
    return {code, std::string(field), std::string(original), std::move(message), std::move(remedy)};
  }
};

/// UTM, UPS and MGRS. Nothing when the text is none of them, so that it is left for latitude and longitude.
/// @param ascii the text after ascii_angle() and trim()
std::optional<Result<Place>> read_grid_place(const PlaceText& text, std::string_view ascii);

/// One of latitude and longitude.
struct Coordinate {
  enum class Axis { unknown, lat, lon };
  double degrees = 0;  ///< north and east positive
  Axis axis = Axis::unknown;
};

/// A coordinate with its letter or without; held to no range but that of its letter.
Result<Coordinate> read_coordinate(const PlaceText& text, std::string_view ascii);

/// Latitude and longitude in one text.
Result<Place> read_lat_lon_place(const PlaceText& text, std::string_view ascii);

/// Checks the ranges and brings the longitude into (-180, 180].
Result<Place> checked_place(const PlaceText& lat_text, const PlaceText& lon_text, const Coordinate& lat,
                            const Coordinate& lon);

}  // namespace agonic::geodesy
