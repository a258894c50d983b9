// What an instrument reads wrong in azimuth, over the magnetic azimuth sighted.
#pragma once

#include <optional>
#include <string_view>

#include "model/units/angle.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

/// index(m) = A + B sin m + C cos m + D sin 2m + E cos 2m, reading minus truth, degrees, m the magnetic azimuth.
/// The shape is that of a ship's deviation coefficients (Handbook of Magnetic Compass Adjustment, NGA 2004), there of
/// opposite sign and over the compass heading.
struct IndexCurve {
  double a = 0, b = 0, c = 0, d = 0, e = 0;  ///< degrees
  [[nodiscard]] double at(double magnetic_deg) const noexcept;
  [[nodiscard]] bool is_zero() const noexcept { return a == 0 && b == 0 && c == 0 && d == 0 && e == 0; }
  /// Upper bound of |index|.
  [[nodiscard]] double largest() const noexcept;
};

/// The magnetic azimuth m with reading - set = m + index(m), and the index error there.
struct Solved {
  Azimuth<Magnetic> magnetic;
  AzimuthIndexError index;
};
/// Solves by fixed-point iteration to 1e-12 degree; empty where the curve is so steep that two azimuths could give
/// the same reading.
std::optional<Solved> solve(const IndexCurve& curve, Azimuth<Circle> reading, CircleSetting set) noexcept;

/// One number (constant) or five, A to E, separated by spaces.
Result<IndexCurve> parse_index_curve(std::string_view text, char decimal_mark = '.');

}  // namespace agonic::instrument
