// The four distributions that least squares lean on.
//
// Source: M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, NBS 1964, chapter 26 (26.4
// chi-square, 26.5 incomplete beta, 26.6 F, 26.7 Student), with the continued fractions 6.5.31 and 26.5.8.
#pragma once

namespace agonic::instrument {

/// Accuracy of the probabilities here, absolute; of the quantiles, relative.
inline constexpr double kProbabilityAccuracy = 1e-9;

/// P(chi-square with `dof` degrees of freedom <= x). @param dof > 0 @param x >= 0
double chi_square_probability(double x, double dof) noexcept;
/// The inverse. @param p (0, 1)
double chi_square_quantile(double p, double dof) noexcept;
/// P(F > f) with `dof1`, `dof2` degrees of freedom. @param f >= 0
double f_tail(double f, double dof1, double dof2) noexcept;
/// The t that |Student's t| exceeds with probability `alpha` (two-sided). @param alpha (0, 1)
double student_quantile(double alpha, double dof) noexcept;

}  // namespace agonic::instrument
