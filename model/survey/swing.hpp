// The day's swing: by how much the needle stood off its quiet level when a reading was taken.
//
// A model gives the year's mean at a quiet site. Readings near an observatory are reduced with what was recorded there:
// declination at the moment = declination of the model + departure.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/survey/observatory.hpp"
#include "model/units/problem.hpp"

namespace agonic::survey {

enum class Activity { quiet, unsettled, disturbed, storm };
std::string_view word(Activity activity) noexcept;

/// A reading's moment and, if known, its place.
struct Moment {
  std::chrono::sys_seconds time;
  std::optional<double> lat_deg, lon_deg;  ///< both or neither
};

struct Departure {
  double departure_deg = 0;            ///< east positive: add it to the declination of the model
  double sigma_deg = 0;                ///< 1-sigma: the quiet level's, and what grows with the distance
  double observed_deg = 0;             ///< the declination recorded at the moment
  double quiet_level_deg = 0;          ///< the level it is compared with
  std::size_t nights = 0;              ///< of which that is the median
  std::optional<double> distance_km;   ///< to the observatory, along a sphere
  double range_deg = 0, range_nt = 0;  ///< in the three hours about the moment; of the east component
  double rate_nt_per_minute = 0;       ///< the largest change there
  Activity activity = Activity::quiet;
  std::string why;  ///< of the activity, in words
};

/// Prepared for many moments. The observatory must outlive it.
class Swing {
 public:
  /// @param horizontal_nt where the file has no horizontal component; > 0
  Swing(const Observatory& observatory, double horizontal_nt);
  /// Refuses a moment that the file does not hold (field "time", Code::out_of_range), one without values nearby, and
  /// a place farther than threshold::kNearKm (field "place").
  [[nodiscard]] Result<Departure> at(const Moment& moment) const;
  /// The rule of the quiet level, in words.
  static std::string_view rule() noexcept;

 private:
  struct Day {
    std::int64_t number = 0;  // of the local day
    double night_deg = 0;     // median declination of its night hours
    double spread_deg = 0;    // robust 1-sigma of them
    double range_deg = 0;     // of the whole day
    bool whole = false;       // nine tenths of it are there
  };
  struct Level {
    double deg = 0, sigma_deg = 0;
    std::size_t nights = 0;
  };
  [[nodiscard]] std::optional<Level> level_at(std::int64_t day) const;

  const Observatory& observatory_;
  double horizontal_nt_;
  double offset_s_;  // local mean time minus UTC
  std::vector<Day> days_;
};

/// Without a file: what the needle swings in a usual day, by latitude. Common practice, rounded; auroral latitudes are
/// far worse on some days.
struct ExpectedSwing {
  double range_deg = 0;  ///< from the easternmost to the westernmost of a day
  double sigma_deg = 0;  ///< 1-sigma of one reading at an unknown hour
};
/// @param lat_deg [-90, 90]
ExpectedSwing expected_swing(double lat_deg) noexcept;

}  // namespace agonic::survey
