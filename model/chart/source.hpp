// The field as charts see it: one model at one height and date, at grids and at scattered points.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "model/chart/quantity.hpp"
#include "model/field/declination.hpp"

namespace agonic::chart {

/// Where a chart's numbers come from. The models must outlive it.
struct Source {
  const field::CoefficientSet* model = nullptr;
  double decimal_year = 0;  ///< within the model's span
  double height_m = 0;
  /// With model=auto near the join of two models: the other one and the join. Their step in D is part of the
  /// uncertainty, as in every other answer.
  const field::CoefficientSet* neighbour = nullptr;
  double seam_year = 0;
};

/// The components at points, as columns: nT, nT a year; the step of D at the seam in degrees, 0 where there is none.
struct Samples {
  std::vector<double> north, east, down, north_change, east_change, step_deg;
  void resize(std::size_t size);
  [[nodiscard]] std::size_t size() const { return north.size(); }
};

/// Every latitude with every longitude, row after row. Latitudes in [-90, 90], longitudes in [-180, 360].
void sample_grid(const Source& source, std::span<const double> lat_deg, std::span<const double> lon_deg, Samples& out);
/// Each latitude with its longitude.
void sample_points(const Source& source, std::span<const double> lat_deg, std::span<const double> lon_deg,
                   Samples& out);

/// One point's components.
struct Sample {
  double north = 0, east = 0, down = 0, north_change = 0, east_change = 0, step_deg = 0;
  [[nodiscard]] double horizontal() const;
};
inline Sample at(const Samples& samples, std::size_t i) {
  return {samples.north[i],        samples.east[i],        samples.down[i],
          samples.north_change[i], samples.east_change[i], samples.step_deg[i]};
}

/// The quantity, in its unit. D and its change are 0 where H is 0.
double value(const Source& source, Quantity quantity, const Sample& sample);

/// Zero on the line of `level`, smooth across the wrap of D and at the poles: H sin(D - level) for D, and for its
/// change the same with H squared. Other quantities: value less level. The zeros of D's also lie on the line of level +
/// 180: on_side() tells them apart.
struct Level {
  Quantity quantity = Quantity::declination;
  double level = 0;
  std::array<double, 2> turned{1, 0};  ///< cosine and sine of a level of D
  Level() = default;
  Level(Quantity of, double at);
  [[nodiscard]] double distance(const Source& source, const Sample& sample) const;
  [[nodiscard]] bool on_side(const Sample& sample) const;
  /// How far the quantity is from the level, in its unit, where distance() is this: for deciding whether it is near
  /// enough.
  [[nodiscard]] double error(const Sample& sample, double distance) const;
};

/// Level::distance() at all samples, level after level: what does not depend on the level is computed once.
class Distances {
 public:
  Distances(const Source& source, const Samples& samples, Quantity quantity);
  /// @param out of the samples' size
  void of(const Level& level, std::span<double> out) const;

 private:
  const Samples& samples_;
  Quantity quantity_;
  std::vector<double> first_, second_;
};

}  // namespace agonic::chart
