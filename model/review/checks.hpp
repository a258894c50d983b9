// The checks that need the whole file: each with its code, its threshold in one place, what it means and what to do.
#pragma once

#include <span>
#include <string_view>

#include "model/reading/checks.hpp"

namespace agonic::review {

/// What a review finds. Never a mark on a row: a row's own checks are reading::Check.
enum class Check {
  groups_declination_apart,
  groups_twice_apart,
  groups_differ,
  group_mirrored,
  readings_wrong_end,
  groups_scatter,
  declination_spread,
  settings_stale,
  settings_sign,
  settings_missing,
  settings_mixed,
  north_missing,
  dates_year_only,
  dates_heaped,
  places_outlying,
  places_mirrored,
  places_swapped,
  places_zone,
  places_zero,
  strikes_half_circle,
  strike_dip_direction,
  azimuth_heaping,
  azimuth_too_fine,
  observed_declination_off,
  observed_declination_reject,
  mean_across_north,
  rows_refused,
  rows_repeated,
};

struct CheckInfo {
  Check check;
  std::string_view code;  ///< public, plain hyphenated words
  reading::Severity severity;
  std::string_view meaning;  ///< when it is raised, with its threshold
  std::string_view remedy;
};

std::span<const CheckInfo> all_review_checks() noexcept;
const CheckInfo& info(Check check) noexcept;

/// Every threshold, named here and nowhere else. Those without a source are judgement.
namespace threshold {

// Groups on shared lines: common practice holds two hand compasses on one line to a degree.
inline constexpr double kApartDeg = 1;             ///< groups nearer than this and a standard error agree
inline constexpr double kApartStandardErrors = 2;  ///< |D| or 2|D| is met within the larger of kApartDeg and these
inline constexpr double kSignificance = 4;   ///< standard errors below which a difference may be chance: of many groups
inline constexpr int kSharedLines = 3;       ///< fewer lines in common and nothing is said of two groups
inline constexpr double kSharedKm = 2;       ///< the same name farther away is another line
inline constexpr double kStructureKm = 0.3;  ///< planes nearer to each other than this may be of one structure
inline constexpr double kStructureDipDeg = 5;        ///< if their mean dips differ by no more than this
inline constexpr double kStructureResultant = 0.95;  ///< and each group found the same strike: mean resultant length
inline constexpr double kFloorDeg = 0.3;    ///< least 1-sigma of a mean of readings: graduation and daily swing
inline constexpr double kWrongEndDeg = 15;  ///< within this of 180 from its line: the wrong end
inline constexpr double kMirrorDeg =
    5;  ///< spread of 360 minus the readings about their lines below which a dial is mirrored
inline constexpr double kMirrorTurnDeg = 20;  ///< while the readings as they are spread by more than this
inline constexpr double kScatterDeg = 0.5;    ///< beyond what repeated readings explain: attraction, or several surveys
inline constexpr double kScatterChance = 1e-3;  ///< and less likely by chance than this (F test)

// Declination over the whole file, and what was set.
inline constexpr double kSpreadDeg = 0.5;  ///< D's range over place and time: more, and one value is not enough
inline constexpr double kStaleDeg = reading::threshold::kStaleDeg;

// Dates.
inline constexpr int kYearOnlyRows = 3;     ///< so many rows on 1 January, or dated by the year alone, are asked about
inline constexpr int kHeapRows = 30;        ///< so many rows of one day, and either
inline constexpr double kHeapKm = 100;      ///< farther apart than anybody goes in a day, or
inline constexpr int kHeapRowsOfOne = 200;  ///< more than one observer reads in a day

// Places.
inline constexpr double kOutlyingKm = 100;      ///< from every other place
inline constexpr double kOutlyingShare = 0.05;  ///< of the rows at most: more is a survey of its own
inline constexpr double kExplainedKm = 25;      ///< a place swapped or mirrored lies this near to the others

// Strikes, figures, means.
inline constexpr int kHalfCirclePlanes = 10;      ///< strikes without a dip letter, all below 180
inline constexpr double kHalfCircleSpanDeg = 90;  ///< and spread over more than this: else one dipping slab will do
inline constexpr double kDipDirectionDeg = 2;     ///< strike and dip direction: 90 apart within this
inline constexpr int kHeapingRows = 30;           ///< fewer readings show no habit
inline constexpr double kHeapingChance = 1e-3;    ///< chi-square of the last digits less likely than this, and
inline constexpr double kHeapingShare = 0.5;      ///< more than this share on tens and fives; 0.2 by chance
inline constexpr double kTooFineSigmas = 0.5;     ///< a written unit below this many sigmas of the azimuth
inline constexpr double kObservedDeg = 3;         ///< declination observed by sun or line against the model
inline constexpr double kObservedRejectDeg = 15;  ///< beyond: reject the observation
inline constexpr double kMeanResultant = 0.5;     ///< mean resultant length below which directions have no mean
inline constexpr double kMeanDeg = 1;             ///< arithmetic mean against circular

}  // namespace threshold

}  // namespace agonic::review
