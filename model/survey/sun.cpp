// The mean orbit with the equation of the centre (Meeus, ch. 25), the largest terms of the planets and the Moon (NREL
// report, Table A4.2), aberration, the four largest terms of nutation (ch. 22), sidereal time (ch. 12), then the turn
// to the horizon (ch. 13). Parallax is taken off along the vertical circle, refraction is the formula of the NREL
// report (its equation 42). The sun's own latitude (under 0.0004 degree) is left out.
#include "model/survey/sun.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

namespace agonic::survey {
namespace {

constexpr double kArcsecond = 1.0 / 3600;
constexpr double kSecondsPerDay = 86400, kDaysPerCentury = 36525;
constexpr double kUnix2000 = 946728000;  // 2000 January 1, 12:00, in seconds of Unix time
constexpr double kRateSeconds = 30;      // half the interval of the rates

double polynomial(double x, std::span<const double> coefficients) noexcept {
  double sum = 0;
  for (auto c = coefficients.rbegin(); c != coefficients.rend(); ++c) sum = sum * x + *c;
  return sum;
}

// One span of the polynomial expressions: delta T = p((year - zero) / unit), until `end`.
struct DeltaSpan {
  double end, zero, unit;
  std::array<double, 8> coefficients;
};
constexpr std::array kDeltaSpans{
    DeltaSpan{1600, 1000, 100, {1574.2, -556.01, 71.23472, 0.319781, -0.8503463, -0.005050998, 0.0083572073}},
    DeltaSpan{1700, 1600, 1, {120, -0.9808, -0.01532, 1.0 / 7129}},
    DeltaSpan{1800, 1700, 1, {8.83, 0.1603, -0.0059285, 0.00013336, -1.0 / 1174000}},
    DeltaSpan{1860,
              1800,
              1,
              {13.72, -0.332447, 0.0068612, 0.0041116, -0.00037436, 0.0000121272, -0.0000001699, 0.000000000875}},
    DeltaSpan{1900, 1860, 1, {7.62, 0.5737, -0.251754, 0.01680668, -0.0004473624, 1.0 / 233174}},
    DeltaSpan{1920, 1900, 1, {-2.79, 1.494119, -0.0598939, 0.0061966, -0.000197}},
    DeltaSpan{1941, 1920, 1, {21.20, 0.84493, -0.076100, 0.0020936}},
    DeltaSpan{1961, 1950, 1, {29.07, 0.407, -1.0 / 233, 1.0 / 2547}},
    DeltaSpan{1986, 1975, 1, {45.45, 1.067, -1.0 / 260, -1.0 / 718}},
    DeltaSpan{2005, 2000, 1, {63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599}},
    DeltaSpan{2050, 2000, 1, {62.92, 0.32217, 0.005589}},
};

// What the planets and the Moon add to the longitude, from 0.0004 degree on (NREL report, Table A4.2, L0): size in 1e-8
// radian, phase in radians, rate in radians a thousand years.
struct Term {
  double size, phase, rate;
};
constexpr std::array kPlanets{
    Term{3497, 2.7441, 5753.3849}, Term{3418, 2.8289, 3.5231},    Term{3136, 3.6277, 77713.7715},
    Term{2676, 4.4181, 7860.4194}, Term{2343, 6.1352, 3930.2097}, Term{1324, 0.7425, 11506.7698},
    Term{1273, 2.0371, 529.691},   Term{1199, 1.1096, 1577.3435}, Term{990, 5.233, 5884.927},
    Term{902, 2.045, 26.298},      Term{857, 3.508, 398.149},     Term{780, 1.179, 5223.694},
    Term{753, 2.533, 5507.553},
};

double asin_deg(double x) noexcept { return std::asin(std::clamp(x, -1.0, 1.0)) / kDegree; }
double atan2_deg(double y, double x) noexcept { return std::atan2(y, x) / kDegree; }

double days_since_2000(Instant instant) noexcept {
  return (instant.time_since_epoch().count() - kUnix2000) / kSecondsPerDay;
}

// What the horizon shows, before rates.
struct Horizontal {
  double azimuth_deg, elevation_deg, hour_angle_deg;
  SunPosition position;
};

Horizontal horizontal(const SunPlace& place, Instant instant, double delta_t_s) noexcept {
  const double centuries = (days_since_2000(instant) + delta_t_s / kSecondsPerDay) / kDaysPerCentury;
  Horizontal out{0, 0, 0, sun_position(centuries)};
  const SunPosition& sun = out.position;
  out.hour_angle_deg = wrap_180(apparent_sidereal_deg(instant, sun) + place.lon_deg - sun.right_ascension_deg);
  const Horizon seen = turn_to_horizon(out.hour_angle_deg, sun.declination_deg, place.lat_deg);
  out.azimuth_deg = seen.azimuth_deg;
  out.elevation_deg = seen.elevation_deg - 8.794 * kArcsecond / sun.distance_au * cos_deg(seen.elevation_deg);
  return out;
}

double refraction_deg(double elevation_deg, const Air& air) noexcept {
  return air.pressure_hpa / 1010 * 283 / (273 + air.temperature_c) * 1.02 /
         (60 * std::tan((elevation_deg + 10.3 / (elevation_deg + 5.11)) * kDegree));
}

Instant later(Instant instant, double seconds) noexcept { return instant + std::chrono::duration<double>(seconds); }

// Where f turns from negative to positive between two instants, to a tenth of a second.
template <class F>
Instant crossing(Instant before, Instant after, const F& f) {
  while ((after - before).count() > 0.1) {
    const Instant middle = later(before, (after - before).count() / 2);
    (f(middle) < 0 ? before : after) = middle;
  }
  return after;
}

}  // namespace

double decimal_year(Instant instant) noexcept {
  using namespace std::chrono;
  const auto day = floor<days>(instant);
  const year_month_day ymd(day);
  const sys_days start = ymd.year() / January / 1, end = (ymd.year() + years(1)) / January / 1;
  return static_cast<int>(ymd.year()) + (instant - Instant(start)).count() / duration<double>(end - start).count();
}

double delta_t_seconds(double year) noexcept {
  for (const DeltaSpan& span : kDeltaSpans)
    if (year < span.end) return polynomial((year - span.zero) / span.unit, span.coefficients);
  const double u = (year - 1820) / 100;
  return -20 + 32 * u * u - 0.5628 * (2150 - year);
}

SunPosition sun_position(double t) noexcept {
  const double mean_longitude = 280.46646 + t * (36000.76983 + t * 0.0003032);
  const double m = 357.52911 + t * (35999.05029 - t * 0.0001537);
  const double e = 0.016708634 - t * (0.000042037 + t * 0.0000001267);
  const double centre = (1.914602 - t * (0.004817 + t * 0.000014)) * sin_deg(m) +
                        (0.019993 - 0.000101 * t) * sin_deg(2 * m) + 0.000289 * sin_deg(3 * m);
  double planets = 0;  // 1e-8 radian
  for (const auto& [size, phase, rate] : kPlanets) planets += size * std::cos(phase + rate * t / 10);
  const double distance = 1.000001018 * (1 - e * e) / (1 + e * cos_deg(m + centre));

  const double node = 125.04452 - 1934.136261 * t;
  const double twice_sun = 2 * mean_longitude, twice_moon = 2 * (218.3165 + 481267.8813 * t);
  SunPosition out;
  out.distance_au = distance;
  out.nutation_in_longitude_deg = kArcsecond * (-17.20 * sin_deg(node) - 1.32 * sin_deg(twice_sun) -
                                                0.23 * sin_deg(twice_moon) + 0.21 * sin_deg(2 * node));
  const double nutation_in_obliquity = kArcsecond * (9.20 * cos_deg(node) + 0.57 * cos_deg(twice_sun) +
                                                     0.10 * cos_deg(twice_moon) - 0.09 * cos_deg(2 * node));
  out.obliquity_deg = kArcsecond * (84381.448 - t * (46.8150 + t * (0.00059 - t * 0.001813))) + nutation_in_obliquity;
  out.longitude_deg = wrap_360(mean_longitude + centre + planets * 1e-8 / kDegree + out.nutation_in_longitude_deg -
                               20.4898 * kArcsecond / distance);
  const double s = sin_deg(out.longitude_deg);
  out.right_ascension_deg = wrap_360(atan2_deg(cos_deg(out.obliquity_deg) * s, cos_deg(out.longitude_deg)));
  out.declination_deg = asin_deg(sin_deg(out.obliquity_deg) * s);
  return out;
}

double apparent_sidereal_deg(Instant instant, const SunPosition& sun) noexcept {
  const double days = days_since_2000(instant), t = days / kDaysPerCentury;
  // The whole turns of the days are dropped before they cost digits.
  const double turns = 360 * (days - std::floor(days)) + 0.98564736629 * days;
  return 280.46061837 + turns + t * t * (0.000387933 - t / 38710000) +
         sun.nutation_in_longitude_deg * cos_deg(sun.obliquity_deg);
}

Horizon turn_to_horizon(double h, double declination, double lat) noexcept {
  const double sd = sin_deg(declination), cd = cos_deg(declination), sp = sin_deg(lat), cp = cos_deg(lat);
  return {wrap_360(atan2_deg(-cd * sin_deg(h), sd * cp - cd * cos_deg(h) * sp)),
          asin_deg(sp * sd + cp * cd * cos_deg(h))};
}

Sun sun_at(const SunPlace& place, Instant instant, const Air& air) noexcept {
  Sun out;
  out.delta_t_s = delta_t_seconds(decimal_year(instant));
  const Horizontal now = horizontal(place, instant, out.delta_t_s);
  const Horizontal before = horizontal(place, later(instant, -kRateSeconds), out.delta_t_s);
  const Horizontal after = horizontal(place, later(instant, kRateSeconds), out.delta_t_s);
  constexpr double kPerHour = 3600 / (2 * kRateSeconds);
  out.azimuth = Azimuth<True>(now.azimuth_deg);
  out.elevation_deg = now.elevation_deg;
  if (out.up()) out.elevation_refracted_deg = now.elevation_deg + refraction_deg(now.elevation_deg, air);
  out.azimuth_rate_deg_per_hour = wrap_180(after.azimuth_deg - before.azimuth_deg) * kPerHour;
  out.elevation_rate_deg_per_hour = (after.elevation_deg - before.elevation_deg) * kPerHour;
  out.hour_angle_deg = now.hour_angle_deg;
  out.sun_declination_deg = now.position.declination_deg;
  out.right_ascension_deg = now.position.right_ascension_deg;
  out.semidiameter_deg = 959.63 * kArcsecond / now.position.distance_au;
  return out;
}

SunDay sun_day(const SunPlace& place, Instant begin, int step_minutes, const Air& air) {
  constexpr double kLook = 120;  // seconds between looks for rise and set: shorter arcs are found at noon only
  const double delta_t = delta_t_seconds(decimal_year(begin));
  const auto height = [&](Instant i) { return horizontal(place, i, delta_t).elevation_deg - kHorizonDeg; };
  const auto meridian = [&](Instant i) { return horizontal(place, i, delta_t).hour_angle_deg; };
  SunDay day;
  std::vector<Instant> looks;
  for (double s = 0; s <= kSecondsPerDay; s += kLook) looks.push_back(later(begin, s));
  for (std::size_t i = 1; i < looks.size() && !day.noon; ++i) {
    const double h0 = meridian(looks[i - 1]), h1 = meridian(looks[i]);
    if (h0 < 0 && h1 >= 0 && h1 - h0 < 90) day.noon = crossing(looks[i - 1], looks[i], meridian);
  }
  if (day.noon) looks.insert(std::upper_bound(looks.begin(), looks.end(), *day.noon), *day.noon);
  day.up_all_day = day.down_all_day = true;
  double last = height(looks.front());
  for (std::size_t i = 0; i < looks.size(); ++i) {
    const double now = height(looks[i]);
    (now > 0 ? day.down_all_day : day.up_all_day) = false;
    if (last < 0 && now >= 0 && !day.rise) day.rise = crossing(looks[i - 1], looks[i], height);
    if (last >= 0 && now < 0 && !day.set)
      day.set = crossing(looks[i - 1], looks[i], [&](Instant at) { return -height(at); });
    last = now;
  }
  for (int minute = 0; minute <= 1440; minute += step_minutes) {
    const Instant at = later(begin, 60.0 * minute);
    day.rows.push_back({at, sun_at(place, at, air)});
  }
  return day;
}

}  // namespace agonic::survey
