// The limits that the survey's findings go by, in one place. Degrees unless named otherwise.
#pragma once

namespace agonic::survey::threshold {

// Traverse.
inline constexpr double kForeBackDeg = 2;  ///< fore and back azimuth of a line: more is marked; hand-compass practice
inline constexpr double kVerticalDeg = 2;  ///< sum of fore and back vertical angle: more is marked, as above
inline constexpr double kReversedDeg = 5;  ///< fore and back this near to equal: the back azimuth was reversed already?
inline constexpr double kMisreadTolerances = 2;  ///< tolerances between free stations: more is a misreading; judgement
inline constexpr double kAngularDeg = 1;  ///< times sqrt(n): a figure's angles off by more are not adjusted; judgement
inline constexpr double kFinestCount = 0.25;  ///< fore and back agree within this where no coarser division is seen

inline constexpr double kClosure = 100;  ///< a figure that closes worse than 1 in this has a gross error; judgement

// Rotation from found lines.
inline constexpr double kRotationSpreadDeg = 0.5;  ///< 1-sigma of one pair: more warns of attraction or mixed surveys
inline constexpr int kPairsAsked = 3;              ///< fewer pairs cannot check each other
inline constexpr double kOutlierSigmas = 5;      ///< from the median, in robust sigmas: few pairs make those uncertain
inline constexpr double kOutlierLeastDeg = 0.5;  ///< and never nearer than this: the roundings of old notes

// The day's swing. Ranges of the east component in the three hours about a reading, nT: the lower limits of K 5, 6 and
// 7 where K 9 begins at 500 nT, as at most observatories of middle latitudes (common practice, J. Bartels 1939).
inline constexpr double kUnsettledNt = 70;
inline constexpr double kDisturbedNt = 120;
inline constexpr double kStormNt = 200;
inline constexpr double kStormNtPerMinute = 30;    ///< a change from one minute to the next: a storm's onset; judgement
inline constexpr double kDisturbedDeg = 0.5;       ///< a departure this large is never called quiet; judgement
inline constexpr double kFileAgainstModelDeg = 3;  ///< quiet level against model: local rock is rarely more; judgement
inline constexpr double kNearKm = 1000;            ///< farther from the observatory nothing is reduced; judgement

}  // namespace agonic::survey::threshold
