// Reads the project's own coefficient layout: coefficients/README.md describes it.
#pragma once

#include "model/field/catalogue.hpp"
#include "model/field/coefficients.hpp"
#include "model/field/lines.hpp"

namespace agonic::field {

/// Table and sidecar to a prepared model. Strict: unknown, repeated or missing keys, missing, repeated or surplus
/// rows, wrong counts, text after the end and a wrong checksum throw BadCoefficients with file and line.
CoefficientSet read_own(const CoefficientText& text);

/// The order in which all layouts give their rows: 1 0, 1 1, 1 -1, 2 0, ... (m < 0: the h coefficient).
struct RowOrder {
  int n = 1;
  int m = 0;
  void advance();
  /// Reads n and m of the line at hand; throws unless they are the ones expected.
  void expect(Lines& lines) const;
};

/// A Gauss coefficient in nT (or nT a year); throws beyond 1e6, where a table must be damaged.
double read_coefficient(Lines& lines);
/// A decimal year; throws outside -10000 to 10000.
double read_year(Lines& lines, std::string_view what);
/// Years of the line at hand up to its end; throws unless they ascend.
std::vector<double> read_years(Lines& lines, std::string_view what);

}  // namespace agonic::field
