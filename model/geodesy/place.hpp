// Places in every notation people write them in. What can mean two places is refused with both.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "model/units/declination_text.hpp"
#include "model/units/problem.hpp"

namespace agonic::geodesy {

/// A point on the WGS84 ellipsoid.
struct Place {
  enum class Notation { degrees, utm, ups, mgrs };

  double lat_deg = 0;  ///< [-90, 90], north positive
  double lon_deg = 0;  ///< (-180, 180], east positive
  Notation notation = Notation::degrees;
  std::string text_meaning;           ///< what was understood, for remarks: "UTM 32N"; empty for latitude and longitude
  std::optional<int> utm_zone_given;  ///< the zone written, 1 to 60 (UTM and MGRS)
  bool zone_mismatch = false;         ///< the zone written is not the standard one of the place
};

/// How letters with two meanings are read.
struct Letters {
  /// The S after a UTM zone: the latitude band from 32 to 40 north, or the southern hemisphere.
  enum class ZoneS { undeclared, band, hemisphere };

  LetterO o = LetterO::undeclared;
  ZoneS zone_s = ZoneS::undeclared;

  friend bool operator==(const Letters&, const Letters&) = default;
};

/// Reads a declaration of letters: words separated by commas or spaces. A language (O is west in es, fr, it, pt, ca, gl
/// and east in de, nl, sv; en has no O, so that it stays refused), and `band` or `hemisphere` for the S of 18S. Empty
/// text declares nothing. Field "letters"; Code::unknown_name, or Code::contradiction for both meanings at once.
Result<Letters> parse_letters(std::string_view text);

/// Reads one text in any notation: latitude and longitude (in degrees with or without minutes and seconds; letters
/// N S E W before or behind, then in any order; without letters latitude first), UTM `32N 461344 5481745`, UPS
/// `N 2000000 2000000`, or MGRS `32UMA6134481745`, whose square means its centre. Zone numbers with a band letter are
/// held against the northing.
/// Field "place"; codes place_unreadable, place_out_of_range, place_ambiguous, place_swapped, contradiction (sign or
/// band against the rest), sixtieths.
/// @param decimal_mark '.' or ','
Result<Place> parse_place(std::string_view place, const Letters& letters, char decimal_mark = '.');

/// Reads a latitude and a longitude, each as in parse_place(). Fields "lat" and "lon".
Result<Place> parse_lat_lon(std::string_view lat, std::string_view lon, const Letters& letters,
                            char decimal_mark = '.');

/// Reads a height above the WGS84 ellipsoid in metres, [-10000, 850000]. Field "height_m"; Code::not_a_number or
/// Code::height_out_of_range.
Result<double> parse_height(std::string_view text, char decimal_mark = '.');

}  // namespace agonic::geodesy
