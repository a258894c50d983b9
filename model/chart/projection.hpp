// From the sphere to the paper: two plain projections, as in Snyder 1987, Map projections: a working manual, US
// Geological Survey Professional Paper 1395, doi:10.3133/pp1395 (equirectangular, p. 90; polar azimuthal equidistant,
// p. 191).
#pragma once

#include "model/chart/box.hpp"
#include "model/paper/drawing.hpp"

namespace agonic::chart {

/// Equirectangular, true to scale along the middle of the box; round a pole, where the box is a cap about it that is no
/// wider than 70 degrees, azimuthal equidistant with Greenwich at the bottom (north) or top (south).
class Projection {
 public:
  /// Fits the box into a frame of this width from its upper left corner; the height follows, at most `most_height` (the
  /// width then follows).
  Projection(const Box& box, paper::Point corner, double width, double most_height);

  /// @param lon_deg as the box has them: beyond 180 behind the antimeridian
  [[nodiscard]] paper::Point at(double lon_deg, double lat_deg) const;
  [[nodiscard]] bool polar() const { return polar_; }
  /// The pole in the middle: 1 north, -1 south.
  [[nodiscard]] int pole() const { return pole_; }
  [[nodiscard]] const paper::Box& frame() const { return frame_; }
  [[nodiscard]] const Box& box() const { return box_; }
  /// On the paper inside the frame by at least `margin`?
  [[nodiscard]] bool shows(paper::Point point, double margin) const;
  /// Degrees of latitude a unit of paper.
  [[nodiscard]] double degrees_per_unit() const { return 1 / scale_; }

 private:
  Box box_;
  bool polar_ = false;
  int pole_ = 1;
  double scale_ = 1;    // paper a degree of latitude
  double shorten_ = 1;  // a degree of longitude to one of latitude
  paper::Box frame_;
};

}  // namespace agonic::chart
