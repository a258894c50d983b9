// From a reading to true, grid and magnetic directions with their uncertainty.
//
//   magnetic  = reading - index(magnetic) - set_declination        circle
//   true      = magnetic + D                                       magnetic, circle
//   true      = grid + convergence                                 grid
//   true      = true_old - applied_declination + D                 true, with what was applied
//   true      = grid_old - applied_grid_magnetic + D               grid, with what was applied
//   at_target = magnetic + D(date) - D(target date)
//
// Dip, plunge, rake and vertical angles never change with D. A backsight is corrected first and reversed afterwards.
#pragma once

#include <optional>
#include <string>

#include "model/field/declination.hpp"
#include "model/geodesy/grid.hpp"
#include "model/reading/reading.hpp"
#include "model/units/problem.hpp"

namespace agonic::reading {

/// What is known of the field and the grids where and when the reading was taken.
struct Surroundings {
  bool date_outside_models = false;                   ///< a true row's date that no model serves: D stays blank
  std::optional<field::FieldAnswer> field;            ///< empty only for a true row without place or date
  std::optional<field::FieldAnswer> field_at_target;  ///< with a target date
  std::optional<geodesy::GridAt> source_grid;         ///< of a grid row
  std::optional<geodesy::GridAt> output_grid;         ///< of azimuth_grid; empty where the grid does not reach
};

/// The result; angles in degrees, azimuths of planes in the convention they came in.
struct Correction {
  bool changed = false;  ///< false: already true and nothing to do
  Azimuth<True> azimuth_true;
  std::optional<Azimuth<True>> dip_direction_true;
  std::optional<Azimuth<Grid>> azimuth_grid;
  std::optional<Azimuth<Magnetic>> azimuth_magnetic;
  std::optional<double> azimuth_sigma;  ///< 1-sigma, at most threshold::kAzimuthSigmaCapDeg; empty: nothing known
  std::optional<double> dip, plunge, vertical_angle;
  std::optional<Declination> declination;  ///< the model's, or the site's
  std::optional<double> declination_sigma, declination_95;
  std::optional<Convergence> convergence;  ///< of azimuth_grid
  double correction_deg = 0;  ///< azimuth_true minus azimuth as read, (-180, 180], a backsight's 180 left out
  std::optional<CircleSetting> set_used;
  std::optional<AzimuthIndexError> index_used;
  std::optional<Azimuth<Magnetic>> azimuth_at_target;
  std::optional<Azimuth<Magnetic>> sighted;  ///< the magnetic azimuth before any reversal
  bool turned = false;                       ///< an index error carried dip, plunge or vertical angle beyond 0 or 90
};

/// Refuses an unusable needle (unless forced), an unsolvable index curve and a reading without a reference north
/// (naming the candidates).
Result<Correction> correct(const Reading& reading, const Surroundings& around, bool force_unusable);

/// The reading that a correction came from: the inverse, for circle, magnetic, grid and re-corrected rows.
/// @return azimuth in degrees as read, [0, 360)
double undo(const Reading& reading, const Correction& correction, const Surroundings& around);

/// The corrected direction written as the reading was: "S75E", for planes "N40E 40SE"; empty where neither azimuth nor
/// plane was in quadrant notation.
std::string azimuth_text(const Reading& reading, const Correction& correction);

}  // namespace agonic::reading
