// Parts of the fit of index errors that are of no use elsewhere.
#pragma once

#include <span>
#include <vector>

#include "model/instrument/fit.hpp"
#include "model/instrument/least_squares.hpp"

namespace agonic::instrument {

/// The largest group of angles that lie within kAgreeDeg of one of them.
struct Agreement {
  double centre_deg = 0;  ///< their median, (-180, 180]
  std::vector<std::size_t> members;
};
Agreement agreement_of(const std::vector<double>& angles_deg);

/// Degrees of the widest arc without a heading; 360 with one heading or none.
double largest_gap(std::vector<double> headings_deg);
/// How many headings are left when those nearer than kHeadingApartDeg to the one before count once.
std::size_t headings_apart(std::vector<double> headings_deg);

/// An observation as a row of the adjustment, its value near to `centre_deg`.
Equation equation_of(const Observation& observation, double centre_deg, int parameters);

/// The refusal of sightings that do not agree.
Problem disagreement(std::span<const Observation> observations);

void add_remarks(std::span<const Observation> observations, const FitContext& context, bool stated, AzimuthFit& fit);

}  // namespace agonic::instrument
