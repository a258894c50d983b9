// The field once more, in 80-bit numbers and by other recurrences than the model's: Schmidt semi-normalised functions
// throughout (Winch et al. 2005), divided by cos phi' for orders above 0 so that the poles stay regular.
#pragma once

#include <cmath>
#include <vector>

#include "model/field/field.hpp"

namespace agonic::field {

struct ReferenceField {
  long double north = 0, east = 0, down = 0, north_change = 0, east_change = 0, down_change = 0;
  long double h = 0, f = 0, d = 0, i = 0, h_change = 0, f_change = 0, d_change = 0, i_change = 0;
};

inline constexpr long double kReferenceDegree = 0.017453292519943295769236907684886127L;

inline void reference_sincos(long double degrees, long double& s, long double& c) {
  const long double quarters = std::nearbyint(degrees / 90);
  const long double rest = (degrees - 90 * quarters) * kReferenceDegree;
  const long double sine = std::sin(rest);
  const long double cosine = std::cos(rest);
  switch (static_cast<int>(quarters) & 3) {
    case 0:
      s = sine, c = cosine;
      break;
    case 1:
      s = cosine, c = -sine;
      break;
    case 2:
      s = -sine, c = -cosine;
      break;
    default:
      s = -cosine, c = sine;
      break;
  }
}

// D, I, H, F and their changes, as in the World Magnetic Model technical reports.
inline void add_reference_elements(ReferenceField& b) {
  b.h = std::hypot(b.north, b.east);
  b.f = std::hypot(b.h, b.down);
  b.d = std::atan2(b.east, b.north) / kReferenceDegree;
  b.i = std::atan2(b.down, b.h) / kReferenceDegree;
  b.h_change = (b.north * b.north_change + b.east * b.east_change) / b.h;
  b.f_change = (b.h * b.h_change + b.down * b.down_change) / b.f;
  b.d_change = (b.north * b.east_change - b.east * b.north_change) / (b.h * b.h) / kReferenceDegree;
  b.i_change = (b.h * b.down_change - b.down * b.h_change) / (b.f * b.f) / kReferenceDegree;
}

inline ReferenceField reference_field(const CoefficientSet& model, double lat_deg, double lon_deg, double height_m,
                                      double year) {
  const long double flattening = 1 / 298.257223563L;  // WGS84
  const long double e2 = flattening * (2 - flattening);
  long double sin_lat, cos_lat, sin_lon, cos_lon;
  reference_sincos(lat_deg, sin_lat, cos_lat);
  reference_sincos(lon_deg, sin_lon, cos_lon);
  const long double normal = 6378.137L / std::sqrt(1 - e2 * sin_lat * sin_lat);
  const long double height = height_m / 1000.0L;
  const long double across = (normal + height) * cos_lat;
  const long double along = (normal * (1 - e2) + height) * sin_lat;
  const long double r = std::hypot(across, along);
  const long double x = along / r;
  const long double c = across / r;
  const long double ratio = model.radius_km / r;

  const TimeWeights w = model.weights(year);
  const auto folded = [&](const std::array<double, 4>& by, std::size_t value) {
    long double sum = 0;
    for (std::size_t k = 0; k < w.count; ++k) {
      sum += static_cast<long double>(by[k]) * model.sets[w.first + k][value];
    }
    return sum;
  };
  long double out[2][3] = {};  // main, change: geocentric north, east, down
  const auto degree = static_cast<std::size_t>(model.degree);
  std::vector<long double> s(degree + 1);   // S(n,m), for m > 0 divided by cos phi'
  std::vector<long double> s1(degree + 1);  // that of m = 1, for the derivative of m = 0
  long double cos_m = 1;
  long double sin_m = 0;
  long double sectoral = 1;
  const auto fill = [&](int m, long double start, std::vector<long double>& to) {
    for (int n = m; n <= model.degree; ++n) {
      const auto at = static_cast<std::size_t>(n);
      const auto root = [&](int k) { return std::sqrt(static_cast<long double>(k * k - m * m)); };
      if (n == m) {
        to[at] = start;
      } else {
        to[at] = ((2 * n - 1) * x * to[at - 1] - (n - 1 > m ? root(n - 1) * to[at - 2] : 0)) / root(n);
      }
    }
  };
  fill(1, 1, s1);
  for (int m = 0; m <= model.degree; ++m) {
    if (m > 0) {
      const long double turned = cos_m * cos_lon - sin_m * sin_lon;
      sin_m = cos_m * sin_lon + sin_m * cos_lon;
      cos_m = turned;
      if (m > 1) sectoral *= c * std::sqrt((2 * m - 1) / (2.0L * m));
    }
    fill(m, m == 0 ? 1 : sectoral, s);
    long double power = std::pow(ratio, static_cast<long double>(m + 2));
    for (int n = m; n <= model.degree; ++n, power *= ratio) {
      if (n == 0) continue;
      const auto at = static_cast<std::size_t>(n);
      const long double before = n > m ? std::sqrt(static_cast<long double>(n * n - m * m)) * s[at - 1] : 0;
      const long double slope =
          m == 0 ? std::sqrt(n * (n + 1) / 2.0L) * c * s1[at] : before - n * x * s[at];  // dS/dphi'
      const long double value = m == 0 ? s[at] : c * s[at];
      for (int part = 0; part < 2; ++part) {
        const auto& by = part == 0 ? w.weight : w.rate;
        const long double g = folded(by, value_index(n, m));
        const long double h = m == 0 ? 0 : folded(by, value_index(n, m) + 1);
        out[part][0] -= power * slope * (g * cos_m + h * sin_m);
        if (m > 0) out[part][1] += power * m * s[at] * (g * sin_m - h * cos_m);
        out[part][2] -= power * (n + 1) * value * (g * cos_m + h * sin_m);
      }
    }
  }
  const long double turn_sin = x * cos_lat - c * sin_lat;
  const long double turn_cos = c * cos_lat + x * sin_lat;
  const auto north = [&](const long double* b) { return b[0] * turn_cos - b[2] * turn_sin; };
  const auto down = [&](const long double* b) { return b[0] * turn_sin + b[2] * turn_cos; };
  ReferenceField b{north(out[0]), out[0][1], down(out[0]), north(out[1]), out[1][1], down(out[1])};
  add_reference_elements(b);
  return b;
}

}  // namespace agonic::field
