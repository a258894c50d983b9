// A field model as data: Gauss coefficients, how they change with time, where they come from.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace agonic::field {

/// How the coefficient sets of a model combine at a date: one seam for all time behaviours.
/// The coefficients at the date are sum(weight[k] * set[first + k]), their yearly change the same with `rate`.
struct TimeWeights {
  std::size_t first = 0;
  std::size_t count = 0;           ///< 1, 2 or 4
  std::array<double, 4> weight{};  ///< dimensionless
  std::array<double, 4> rate{};    ///< per year
};

/// A stretch of time over which the weights are polynomials of the years since `origin`:
/// weight[k] = sum over p of power[k][p] (year - origin)^p. Piecewise and spline models have one an interval.
struct TimePiece {
  double origin = 0;  ///< decimal year; there the weight of the first of two sets is 1, of the second 0
  std::size_t first = 0;
  std::size_t count = 0;                         ///< 1, 2 or 4
  std::array<std::array<double, 4>, 4> power{};  ///< beyond the first two powers only where count is 4
  [[nodiscard]] TimeWeights at(double decimal_year) const;
};

/// linear: sets {main field at epoch, yearly change}; piecewise: one set an epoch, straight lines between;
/// spline: cubic B-spline (order 4) control sets over `times` as knots.
enum class TimeBehaviour { linear, piecewise, spline };

/// 1-sigma of the declination as sqrt(a^2 + (b/H)^2) degrees, H in nT.
struct ErrorModel {
  double a_deg = 0;
  double b_deg_nt = 0;
  std::string basis;  ///< for people: where they, and the 95 % figure shown with them, come from
};

/// The model once more, in the order in which the kernel uses it (kernel.cpp, equations 7 to 9).
struct Prepared {
  std::vector<double> constants;          ///< one a step of the recursion
  std::vector<std::vector<double>> sets;  ///< per coefficient set; 1 value a step for m = 0, 7 for m = 1, else 6
  std::vector<TimePiece> pieces;          ///< in order of time
  /// Spline models only: per piece, each coefficient as a cubic of the years since its origin (prepare.cpp).
  std::vector<std::vector<double>> cubics;
};

/// One published model. Immutable once loaded; safe to share among threads.
struct CoefficientSet {
  std::string id;  ///< as `wmm2025`
  std::string title;
  std::string source;  ///< publisher and reference
  std::string doi;
  std::string licence;
  std::string sha256;  ///< of the table it was read from; hexadecimal
  int degree = 0;
  double radius_km = 6371.2;
  double valid_from = 0;  ///< decimal year, included
  double valid_to = 0;    ///< decimal year, included
  TimeBehaviour behaviour = TimeBehaviour::linear;
  double epoch = 0;           ///< linear only
  std::vector<double> times;  ///< epochs (piecewise) or knots (spline), decimal years, ascending
  /// Schmidt semi-normalised, nT (or nT/yr); each set in the order g10 g11 h11 g20 g21 h21 g22 h22 ...
  std::vector<std::vector<double>> sets;
  ErrorModel declination_error;  ///< b = 0 and a = 0: no published one
  Prepared prepared;             ///< filled by prepare(); evaluate() needs it

  /// How the sets combine at `decimal_year`, which the caller has kept within [valid_from, valid_to].
  /// At an epoch of a piecewise model the yearly change is that of the years after it; at the last one, before it.
  [[nodiscard]] TimeWeights weights(double decimal_year) const;
  /// How many pieces of time the model has, which of them holds a date, and one of them.
  [[nodiscard]] std::size_t piece_count() const;
  [[nodiscard]] std::size_t piece_of(double decimal_year) const;
  [[nodiscard]] TimePiece piece(std::size_t index) const;
  /// piece_of() of every date, into `out` of the same length.
  void pieces_of(std::span<const double> decimal_years, std::span<std::uint32_t> out) const;
  [[nodiscard]] std::size_t values_per_set() const {
    const auto n = static_cast<std::size_t>(degree);
    return n * (n + 2);
  }
};

/// Where g(n, m) stands in a set; h(n, m), for m > 0, is the next one. 1 <= n, 0 <= m <= n.
constexpr std::size_t value_index(int n, int m) {
  const auto row = static_cast<std::size_t>(n);
  const auto order = static_cast<std::size_t>(m);
  return row * row - 1 + (m == 0 ? 0 : 2 * order - 1);
}

/// The highest degree that is read: far above any published field model, and safe from overflow in the recursion.
inline constexpr int kMaxDegree = 400;

/// Fills `model.prepared` from `model.sets`. The readers call it; it is deterministic.
void prepare(CoefficientSet& model);

/// The model as it stands at `decimal_year` (within its span), as a linear model with that epoch: for many points of
/// one date it needs one coefficient set instead of two or four. Prepared, and valid at that date only.
CoefficientSet at_date(const CoefficientSet& model, double decimal_year);

}  // namespace agonic::field
