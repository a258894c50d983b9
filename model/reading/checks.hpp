// The checks that mark a row: each with its code, its threshold in one place, what it means and what to do.
#pragma once

#include <bit>
#include <cstdint>
#include <span>
#include <string_view>

namespace agonic::reading {

/// A check that asks or warns. A stop is a Problem (model/units/problem.hpp) and refuses the row.
enum class Check {
  declination_differs,
  declination_sign,
  declination_unset,
  true_but_circle_unset,
  setting_stale,
  first_of_january,
  map_note_old,
  map_note_gap,
  needle_caution,
  needle_forced,
  dip_flat,
  dip_direction_differs,
  precision_fine,
  position_zero,
  utm_zone_mismatch,
  datum_not_stated,
  height_unit,
  index_error_large,
};

/// Checks raised about one row, in the order of the table when walked.
class CheckSet {
 public:
  void add(Check check) noexcept { bits_ |= bit(check); }
  [[nodiscard]] bool has(Check check) const noexcept { return (bits_ & bit(check)) != 0; }
  [[nodiscard]] bool empty() const noexcept { return bits_ == 0; }
  template <class Do>
  void each(Do&& act) const {
    for (std::uint32_t rest = bits_; rest != 0; rest &= rest - 1) act(static_cast<Check>(std::countr_zero(rest)));
  }

 private:
  static constexpr std::uint32_t bit(Check check) noexcept { return std::uint32_t{1} << static_cast<unsigned>(check); }
  std::uint32_t bits_ = 0;
};

enum class Severity { ask, warn };

struct CheckInfo {
  Check check;
  std::string_view code;  ///< public, plain hyphenated words
  Severity severity;
  std::string_view meaning;  ///< when it is raised, with its threshold
  std::string_view remedy;
};

std::span<const CheckInfo> all_checks() noexcept;
const CheckInfo& info(Check check) noexcept;

/// Every threshold, named here and nowhere else. Those without a source are judgement.
namespace threshold {
inline constexpr double kDeclinationDeg = 1.0;     ///< entered against model: the larger of this and
inline constexpr double kDeclinationSigmas = 3.0;  ///< this many sigmas of the model's D
inline constexpr double kStaleDeg = 0.5;           ///< D against what was set
inline constexpr double kMapNoteYears = 5.0;       ///< agencies warn against map rates beyond a few years
inline constexpr double kMapNoteGapDeg = 0.5;
inline constexpr double kFlatDipDeg = 10.0;  ///< strike error about dip error / sin dip
inline constexpr double kHeightLowM = -1000, kHeightHighM = 10000;
inline constexpr double kIndexErrorDeg = 5.0;    ///< beyond: bent needle or iron, not calibration
inline constexpr double kDipLetterDeg = 22.5;    ///< a dip letter nearer to the strike than this: stop
inline constexpr double kDipDirectionDeg = 2.0;  ///< a dip direction off the right angle to the strike; common practice
inline constexpr double kPrecisionShare = 0.1;   ///< an azimuth written finer than this share of its sigma
inline constexpr double kAzimuthSigmaCapDeg = 52;  ///< an axis of unknown direction: 90 / sqrt(3)
}  // namespace threshold

}  // namespace agonic::reading
