// Reads coefficient files as their publishers lay them out, for models newer than the program.
#pragma once

#include "model/field/catalogue.hpp"
#include "model/field/coefficients.hpp"

namespace agonic::field {

/// The layout is told from the text: SHC has a parameter line of whole numbers after its comment lines (`#`), the
/// WMM layout has epoch, name and date on its first line.
///
/// WMM layout: rows `n m g h dg dh` in the order 1 0, 1 1, 2 0, ..., ended by lines of 9s. Id: the name in the first
/// line, lower-cased, letters and digits only ("WMM-2030" gives wmm2030). Valid from the epoch for five years.
///
/// SHC: parameter line `lowest degree (1), highest degree, number of times, spline order, steps` and, with some
/// publishers, the first and last year of validity; a line of epochs; rows `n m values` in the order 1 0, 1 1, 1 -1,
/// 2 0, ... (m < 0: h). Order 2 is straight lines between epochs; order 1 a single time. Higher orders are refused:
/// their files leave the end conditions of the splines open. Id: the file's name without its ending.
///
/// Reference radius 6371.2 km, Schmidt semi-normalised, as both layouts imply. Throws BadCoefficients with the line.
CoefficientSet read_publisher(const CoefficientText& text);

}  // namespace agonic::field
