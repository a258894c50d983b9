// Weighted least squares of a few parameters, and the same in the presence of gross errors.
//
// Sources: P. J. Rousseeuw and A. M. Leroy, Robust Regression and Outlier Detection, Wiley 1987,
// doi:10.1002/0471725382 (least trimmed squares, chapter 3; scale, section 5.1); P. J. Rousseeuw and K. Van Driessen,
// Data Mining and Knowledge Discovery 12:29-45 (2006), doi:10.1007/s10618-005-0024-4 (concentration steps).
#pragma once

#include <eigen3/Eigen/Dense>
#include <span>
#include <vector>

namespace agonic::instrument {

inline constexpr int kMostParameters = 5;
/// The 1-sigma of a reading that states none, degrees (common practice for a hand compass: half a degree to one).
inline constexpr double kUsualReadingSigmaDeg = 0.5;
/// It counts like this many observations beside the scatter of the readings themselves.
inline constexpr double kUsualSigmaWeight = 4;
/// A stated 1-sigma counts like this many.
inline constexpr double kStatedSigmaWeight = 30;
/// How often a clean set of sightings may have one of them left out.
inline constexpr double kFalseAlarm = 0.001;

/// One linear observation: value = design * parameters + error.
struct Equation {
  Eigen::Matrix<double, 1, Eigen::Dynamic, Eigen::RowMajor, 1, kMostParameters> design;
  double value = 0;
  double sigma = 1;  ///< a priori, > 0
};

/// Parameters with their covariance for unit variance factor.
struct Solution {
  Eigen::VectorXd parameters;
  Eigen::MatrixXd cofactor;  ///< (A' P A)^-1
  double weighted_sum = 0;   ///< sum of (residual / sigma)^2
  int dof = 0;               ///< observations minus parameters
  [[nodiscard]] double residual(const Equation& equation) const {
    return equation.value - (equation.design * parameters)(0);
  }
  /// Variance of the fitted value there, for unit variance factor.
  [[nodiscard]] double variance(const Equation& equation) const {
    return (equation.design * cofactor * equation.design.transpose())(0);
  }
};
/// @param which indices of the equations that take part
/// @return dof -1 where they do not determine the parameters
Solution least_squares(std::span<const Equation> equations, const std::vector<std::size_t>& which);

/// What the scatter says of the a priori sigmas.
struct Scale {
  double factor = 1;    ///< variance factor
  double dof = 1;       ///< with what the a priori sigmas count for
  double widening = 1;  ///< of a sigma, so that three of them still mean 99.73 percent (Student)
};
/// @param stated every sigma was stated by the observer: then the factor is never below 1
Scale scale_of(const Solution& solution, bool stated) noexcept;

/// A fit from which what does not belong was left out.
struct RobustSolution {
  Solution solution;
  Scale scale;
  std::vector<bool> used;
  double critical = 0;  ///< |error| / its sigma beyond which an observation was left out
  /// 1-sigma of what an observation that was not used should differ from the fit by.
  [[nodiscard]] double predicted_sigma(const Equation& equation) const;
};
/// Least trimmed squares among `candidates`, then least squares of what agrees; of all the others each comes in that
/// passes Student's test at kFalseAlarm / n, the nearest first. Deterministic.
/// @return dof -1 in the solution where the candidates do not determine the parameters
RobustSolution robust_least_squares(std::span<const Equation> equations, const std::vector<std::size_t>& candidates,
                                    bool stated);

}  // namespace agonic::instrument
