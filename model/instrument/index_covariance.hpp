// How well an index curve is known.
#pragma once

#include <array>
#include <cstddef>

namespace agonic::instrument {

/// Covariance of the coefficients A to E of an IndexCurve, square degrees: the upper triangle by rows
/// (AA AB AC AD AE BB BC BD BE CC CD CE DD DE EE). A constant known to sigma has AA = sigma^2 and zeros.
struct IndexCovariance {
  std::array<double, 15> upper{};
  /// Of a constant known to `sigma_deg` (1-sigma, degrees, not negative).
  static IndexCovariance constant(double sigma_deg) noexcept;
  /// Position of the element (row, column), both in [0, 5), in either order.
  static constexpr std::size_t at(std::size_t row, std::size_t column) noexcept {
    if (row > column) return at(column, row);
    return row * 5 - row * (row - 1) / 2 + column - row;
  }
  /// 1-sigma of the curve at a magnetic azimuth, degrees: sqrt(g' C g), g = (1, sin m, cos m, sin 2m, cos 2m).
  [[nodiscard]] double sigma_at(double magnetic_deg) const noexcept;
};

}  // namespace agonic::instrument
