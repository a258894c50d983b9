// One reading as it was taken, typed: what the correction works on.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/geodesy/place.hpp"
#include "model/instrument/in_force.hpp"
#include "model/instrument/index_curve.hpp"
#include "model/reading/notation.hpp"
#include "model/units/angle.hpp"
#include "model/units/date.hpp"
#include "model/units/map_note.hpp"

namespace agonic::reading {

enum class Kind { direction, plane, line };
enum class NorthReference { circle, magnetic, true_north, grid, unknown };
enum class PlaneConvention { right_hand, left_hand, dip_direction, quadrant };

/// A declination written in a cell, and the map note it came from if it was one.
struct WrittenDeclination {
  double deg = 0;  ///< east positive; of a map note: its answer for the reading's date
  std::optional<MapNote> note;
};

/// Where, when and how a reading was taken: what the readings of one station share.
struct Circumstances {
  std::optional<geodesy::Place> place;  ///< empty only on a `true` row, which needs none
  std::optional<Date> date;             ///< the same; there the target date serves without it
  double height_m = 0;

  NorthReference north = NorthReference::unknown;
  CircleSetting set{};  ///< circle rows only
  std::optional<WrittenDeclination> set_written;
  bool default_set_ignored = false;                        ///< a true row under a default set_declination of 0
  std::optional<WrittenDeclination> applied;               ///< true rows only
  std::optional<GridMagneticAngle> applied_grid_magnetic;  ///< grid rows only
  std::string crs, target_crs;

  /// What the registry says of the instrument on that date; null where none is named or no registry is at hand.
  std::shared_ptr<const instrument::InForce> instrument;
  std::optional<Problem> instrument_problem;  ///< why it says nothing: matters where the row's own cells do not say it

  std::optional<double> graduation, reading_sigma, dip_sigma;
  std::optional<Declination> site;
  std::optional<double> site_sigma;
  std::optional<Date> target_date;
};

/// What was read, and what the instrument adds to it.
struct Measured {
  Kind kind = Kind::direction;
  AzimuthText azimuth;                      ///< degrees as read, [0, 360], and how it was written
  std::optional<double> dip_deg;            ///< [0, 90]
  std::optional<double> dip_toward_deg;     ///< the dip letter as an azimuth
  std::optional<double> dip_direction_deg;  ///< where it is written beside the azimuth: compared, never used
  bool dip_direction_by_letters = false;    ///< as SE, which says no more than the side
  std::optional<double> rake_deg;           ///< from the right-hand strike, [0, 180]
  std::optional<double> plunge_deg;         ///< [0, 90]
  std::optional<double> vertical_deg;       ///< [-90, 90]
  PlaneConvention convention = PlaneConvention::right_hand;
  bool backsight = false;

  instrument::IndexCurve azimuth_index;
  bool azimuth_index_recorded = false;  ///< it is the instrument's, and known as well as its covariance says
  double vertical_index_error = 0, dip_index_error = 0;
};

/// One reading. Values are checked each for itself and against each other; blank optional cells are empty.
struct Reading : Circumstances, Measured {
  [[nodiscard]] Measured& measured() noexcept { return *this; }
};

std::string_view word(NorthReference north) noexcept;
/// Does the azimuth come from a needle, now or when it was corrected before?
bool from_needle(const Reading& reading) noexcept;

}  // namespace agonic::reading
