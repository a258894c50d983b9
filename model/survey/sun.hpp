// Where the sun stands: a direction known without a needle, for checking a compass.
//
// Sources: J. Meeus, Astronomical Algorithms, 2nd ed., Willmann-Bell 1998, chapters 12, 13, 22 and 25; I. Reda and
// A. Andreas, Solar position algorithm, NREL/TP-560-34302 (2008), doi:10.1016/j.solener.2003.12.003 (terms of the
// planets, refraction); F. Espenak and J. Meeus, Five Millennium Canon of Solar Eclipses, NASA/TP-2006-214141
// (delta T).
#pragma once

#include <chrono>
#include <optional>
#include <vector>

#include "model/units/angle.hpp"
#include "model/units/problem.hpp"

namespace agonic::survey {

/// Azimuth and elevation are good to this, degrees, for an exact time; within 1 degree of the zenith the azimuth is
/// not. UTC stands for UT1: from 1972 on that is up to 0.9 s, 0.004 degree of hour angle.
inline constexpr double kSunAccuracyDeg = 0.01;
/// Years that are served: [1590, 2101).
inline constexpr int kSunFirstYear = 1590, kSunLastYear = 2100;
/// Geometric elevation of the sun's centre when its upper limb is on a level horizon, degrees (common practice:
/// refraction 34', semidiameter 16').
inline constexpr double kHorizonDeg = -0.8333;
/// Above this elevation, degrees, a sighting of the sun is poor: clock and plumb errors weigh more. Our own choice;
/// checks by a low sun are common practice.
inline constexpr double kSunHighDeg = 30;

/// Instant in UTC, proleptic Gregorian.
using Instant = std::chrono::sys_time<std::chrono::duration<double>>;

/// TT minus UT in seconds, by the polynomial expressions of Espenak and Meeus; to a few seconds from 1700, to some
/// tens before and after 2050, which moves the sun by less than 0.001 degree.
/// @param decimal_year [1590, 2101)
double delta_t_seconds(double decimal_year) noexcept;

/// The air that bends the light.
struct Air {
  double pressure_hpa = 1010;  ///< at the place, not reduced to sea level; [0, 1100]
  double temperature_c = 10;   ///< [-90, 60]
};

/// Where one stands: geodetic degrees, north and east positive. The height moves the sun by less than 1e-5 degree.
struct SunPlace {
  double lat_deg = 0, lon_deg = 0;
};

/// The sun as seen from a place. Angles in degrees.
struct Sun {
  Azimuth<True> azimuth;
  double elevation_deg = 0;  ///< of the centre, without refraction, parallax taken off; [-90, 90]
  /// The same as the eye sees it; empty where the whole sun is below a level horizon.
  std::optional<double> elevation_refracted_deg;
  double azimuth_rate_deg_per_hour = 0;  ///< clockwise positive; very large near the zenith
  double elevation_rate_deg_per_hour = 0;
  double hour_angle_deg = 0;       ///< (-180, 180], west positive
  double sun_declination_deg = 0;  ///< apparent, geocentric: the sun's own, not the needle's
  double right_ascension_deg = 0;  ///< apparent, geocentric, [0, 360)
  double semidiameter_deg = 0;
  double delta_t_s = 0;
  /// Is some part of the sun above a level horizon?
  [[nodiscard]] bool up() const noexcept { return elevation_deg > kHorizonDeg; }
};

/// @param place latitude [-90, 90]; checked by the caller, as is the year
Sun sun_at(const SunPlace& place, Instant instant, const Air& air = {}) noexcept;

/// Apparent geocentric place of the sun at an instant of TT: longitude, right ascension and declination in degrees,
/// distance in astronomical units.
struct SunPosition {
  double longitude_deg = 0, right_ascension_deg = 0, declination_deg = 0, distance_au = 0, obliquity_deg = 0;
  double nutation_in_longitude_deg = 0;
};
/// @param centuries Julian centuries of TT since 2000 January 1, 12:00
SunPosition sun_position(double centuries) noexcept;

/// Apparent sidereal time at Greenwich at an instant of UT, degrees, any size.
double apparent_sidereal_deg(Instant instant, const SunPosition& sun) noexcept;

/// The turn from hour angle (west positive) and declination to the horizon, degrees. Azimuth from north, clockwise:
/// astronomers often count it from south.
struct Horizon {
  double azimuth_deg = 0;    ///< [0, 360)
  double elevation_deg = 0;  ///< [-90, 90]
};
Horizon turn_to_horizon(double hour_angle_deg, double declination_deg, double lat_deg) noexcept;

/// A day of the sun.
struct SunDay {
  struct Row {
    Instant instant;
    Sun sun;
  };
  std::vector<Row> rows;  ///< every `step` from the day's beginning to its end, both included
  /// Upper limb on a level horizon, and the highest passage; empty where the day has none.
  std::optional<Instant> rise, set, noon;
  /// Without rise and set: is the sun up all day?
  bool up_all_day = false, down_all_day = false;
};

/// @param begin the day's first instant; the day lasts 24 hours
/// @param step_minutes [1, 1440]
SunDay sun_day(const SunPlace& place, Instant begin, int step_minutes, const Air& air = {});

/// Decimal year of an instant, as for dates.
double decimal_year(Instant instant) noexcept;

/// An instant with the offset from UTC it was written with.
struct Moment {
  Instant instant;
  std::chrono::minutes offset{0};
  bool day_only = false;  ///< a date without a time of day
};

/// Reads `2028-07-04T15:30Z`, `2028-07-04T15:30:20.5-05:00` (also `20280704T153020Z`). A time without Z or offset is
/// refused, for it would be guessed; so is a date without a time, unless `day_serves` (00:00 UTC is meant then).
/// @param today what the word `today` means with `day_serves`
/// @return problems of field "time"; years outside 1590 to 2100 are refused
Result<Moment> parse_moment(std::string_view text, std::chrono::sys_days today, bool day_serves);

/// "2028-07-04T15:30:20Z", or with the offset: "2028-07-04T10:30:20-05:00". Rounded to the second.
std::string moment_text(Instant instant, std::chrono::minutes offset = {});

}  // namespace agonic::survey
