// The magnetic field of one model at columns of points, each with its own date.
//
// Formulation: for each order m one monic three-term recursion over the degree, with (a/r) folded in and the
// Schmidt semi-normalisation folded into the coefficients; the sums of the derivatives carry no division by
// the cosine of latitude, so that the poles are no special case. Derivation with equation numbers: kernel.cpp.
// Sources: Winch, Ivers, Turner and Stening 2005, Geophys. J. Int. 160, 487-504,
// doi:10.1111/j.1365-246X.2004.02472.x; Chulliat et al., World Magnetic Model technical reports,
// doi:10.25923/ytk1-yx35 (geodetic to geocentric and back).
#pragma once

#include <cstddef>
#include <span>

#include "model/field/coefficients.hpp"

namespace agonic::field {

/// Points as columns of equal length. Values must be finite and in range: the caller checks them
/// (a latitude of 1e300 would give a plausible number).
struct Points {
  std::span<const double> lat_deg;       ///< geodetic (WGS84), [-90, 90], north positive
  std::span<const double> lon_deg;       ///< [-180, 360], east positive
  std::span<const double> height_m;      ///< above the WGS84 ellipsoid
  std::span<const double> decimal_year;  ///< within the span of the model
};

/// Geodetic components at one point; north, east, down positive.
struct FieldVector {
  double north_nt = 0, east_nt = 0, down_nt = 0;
  double north_nt_per_year = 0, east_nt_per_year = 0, down_nt_per_year = 0;
};

/// What follows from the components. Angles in degrees, intensities in nT, changes per year.
struct Elements {
  double horizontal_nt = 0, total_nt = 0;
  double declination_deg = 0;  ///< (-180, 180], east positive; 0 where the horizontal field is 0 (below 1e-140 nT)
  double inclination_deg = 0;  ///< [-90, 90], down positive
  double horizontal_nt_per_year = 0, total_nt_per_year = 0;
  double declination_deg_per_year = 0, inclination_deg_per_year = 0;
};

/// Results as columns, each of the length of the points or, if not wanted, empty: what is not asked for is not
/// computed.
struct FieldColumns {
  std::span<double> north_nt, east_nt, down_nt;
  std::span<double> north_nt_per_year, east_nt_per_year, down_nt_per_year;
  std::span<double> horizontal_nt, total_nt, declination_deg, inclination_deg;
  std::span<double> horizontal_nt_per_year, total_nt_per_year, declination_deg_per_year, inclination_deg_per_year;
};

/// Evaluates `model` at every point, in order, into `out` (of the same length).
/// Thread-safe: the model is not changed. Same input, same bits, however the columns are cut.
void evaluate(const CoefficientSet& model, const Points& points, std::span<FieldVector> out);

/// The same with the elements; either may be empty, which means not wanted.
void evaluate(const CoefficientSet& model, const Points& points, std::span<FieldVector> vectors,
              std::span<Elements> elements);
/// The same as columns. The fastest for many points; same bits as the others.
void evaluate_columns(const CoefficientSet& model, const Points& points, const FieldColumns& out);

/// One point through the same code.
FieldVector evaluate(const CoefficientSet& model, double lat_deg, double lon_deg, double height_m, double decimal_year);

/// Every latitude with every longitude at one height and date, row after row (out[i * lon_deg.size() + j]). The sums
/// over the degree are taken once a circle of latitude. Agrees with evaluate() within 1e-9 nT, not bit for bit.
void evaluate_grid(const CoefficientSet& model, std::span<const double> lat_deg, std::span<const double> lon_deg,
                   double height_m, double decimal_year, const FieldColumns& out);

/// The elements of components; `out` of the same length.
void elements(std::span<const FieldVector> vectors, std::span<Elements> out);
Elements elements(const FieldVector& vector);

}  // namespace agonic::field
