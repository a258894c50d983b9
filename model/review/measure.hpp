// Distances on the earth and a few words, for what the review looks at.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include "model/review/notebook.hpp"
#include "model/units/angle.hpp"

namespace agonic::review {

inline constexpr double kKmPerDegree = 111.195;  ///< of a great circle on a sphere of 6371 km

/// Great-circle distance on a sphere, km; degrees in.
inline double km_between(double lat1, double lon1, double lat2, double lon2) noexcept {
  const double a = sin_deg((lat2 - lat1) / 2), b = sin_deg((lon2 - lon1) / 2);
  const double h = a * a + cos_deg(lat1) * cos_deg(lat2) * b * b;
  return 2 * 6371.0 * std::asin(std::min(1.0, std::sqrt(h)));
}

/// "1 row", "1,204 rows" without the mark of thousands: "1204 rows".
inline std::string count(std::size_t n, const std::string& one, const std::string& many) {
  return std::to_string(n) + " " + (n == 1 ? one : many);
}
inline std::string rows_text(std::size_t n) { return count(n, "row", "rows"); }

}  // namespace agonic::review
