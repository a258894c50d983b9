// The limits that the survey's findings go by, in one place. Degrees unless named otherwise.
#pragma once

namespace agonic::survey::threshold {

// Traverse.
inline constexpr double kForeBackDeg = 2;  ///< fore and back azimuth of a line: more is marked; hand-compass practice
inline constexpr double kReversedDeg = 5;  ///< fore and back this near to equal: the back azimuth was reversed already?
inline constexpr double kAngularDeg = 1;   ///< times sqrt(n): a figure's angles off by more are not adjusted; judgement
inline constexpr double kFinestCount = 0.25;  ///< fore and back agree within this where no coarser division is seen

// Rotation from found lines.
inline constexpr double kRotationSpreadDeg = 0.5;  ///< 1-sigma of one pair: more warns of attraction or mixed surveys
inline constexpr int kPairsAsked = 3;              ///< fewer pairs cannot check each other
inline constexpr double kOutlierSigmas = 3;        ///< from the median, in robust sigmas
inline constexpr double kOutlierLeastDeg = 0.25;   ///< and never nearer than this: the roundings of old notes

}  // namespace agonic::survey::threshold
