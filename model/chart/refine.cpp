// The rule of false position with Illinois weights (Dowell and Jarratt 1971, doi:10.1007/BF01934364), for all crossings
// at once: a step of all of them is one call of the vector kernel.
#include "model/chart/refine.hpp"

#include <algorithm>
#include <cmath>

namespace agonic::chart {
namespace {

constexpr int kMostSteps = 60;
constexpr double kShortest = 1e-13;  // of an edge: nothing lies between

struct Bracket {
  std::size_t crossing = 0;
  double low = 0, high = 1, low_value = 0, high_value = 0;
  int last = 0;  // which end moved: -1, 1
  [[nodiscard]] double guess() const {
    const double t = low - low_value * (high - low) / (high_value - low_value);
    return t > low && t < high ? t : low + (high - low) / 2;
  }
};

Vertex between(const Crossing& crossing, double t) {
  return {crossing.from.lon_deg + t * (crossing.to.lon_deg - crossing.from.lon_deg),
          crossing.from.lat_deg + t * (crossing.to.lat_deg - crossing.from.lat_deg)};
}

}  // namespace

double line_accuracy(Quantity quantity) noexcept {
  switch (quantity) {
    case Quantity::horizontal:
      return 0.01;
    case Quantity::declination_change:
      return 1e-6;
    default:
      return 1e-4;
  }
}

void refine(const Source& source, std::span<const Level> levels, Fineness fineness, std::span<Crossing> crossings) {
  std::vector<Bracket> open;
  open.reserve(crossings.size());
  for (std::size_t i = 0; i < crossings.size(); ++i) {
    Crossing& crossing = crossings[i];
    crossing.at = crossing.from;
    const bool length = crossing.from.lat_deg != crossing.to.lat_deg || crossing.from.lon_deg != crossing.to.lon_deg;
    if (length) open.push_back({i, 0, 1, crossing.from_distance, crossing.to_distance, 0});
  }
  std::vector<double> lat, lon, where;
  Samples samples;
  for (int step = 0; step < kMostSteps && !open.empty(); ++step) {
    lat.clear();
    lon.clear();
    where.clear();
    for (const Bracket& bracket : open) {
      where.push_back(bracket.guess());
      const Vertex at = between(crossings[bracket.crossing], where.back());
      lat.push_back(at.lat_deg);
      lon.push_back(at.lon_deg);
    }
    sample_points(source, lat, lon, samples);
    std::size_t left = 0;
    for (std::size_t i = 0; i < open.size(); ++i) {
      Bracket bracket = open[i];
      Crossing& crossing = crossings[bracket.crossing];
      const Level& level = levels[crossing.level];
      const Sample sample = at(samples, i);
      const double f = level.distance(source, sample);
      crossing.at = {lon[i], lat[i]};
      crossing.on_side = level.on_side(sample);
      if (std::fabs(level.error(sample, f)) <= line_accuracy(level.quantity)) continue;
      if ((f < 0) == (bracket.low_value < 0)) {
        bracket.low = where[i];
        bracket.low_value = f;
        if (bracket.last == -1) bracket.high_value /= 2;
        bracket.last = -1;
      } else {
        bracket.high = where[i];
        bracket.high_value = f;
        if (bracket.last == 1) bracket.low_value /= 2;
        bracket.last = 1;
      }
      if (fineness == Fineness::quick) {
        crossing.at = between(crossing, bracket.guess());
        continue;
      }
      if (bracket.high - bracket.low > kShortest) open[left++] = bracket;
    }
    open.resize(left);
  }
}

bool find_dip_pole(const Source& source, Vertex guess, double reach_deg, Vertex& pole) {
  constexpr double kSmall = 1e-5;  // degree, for the derivatives
  constexpr double kNear = 1e-3;   // nT
  Vertex at = guess;
  Samples samples;
  for (int step = 0; step < 30; ++step) {
    // Steps towards the inside of the sphere, so that no latitude lies beyond a pole.
    const double up = at.lat_deg > 0 ? -kSmall : kSmall;
    const double lat[] = {at.lat_deg, at.lat_deg, at.lat_deg + up};
    const double lon[] = {at.lon_deg, at.lon_deg + kSmall, at.lon_deg};
    sample_points(source, lat, lon, samples);
    const double x = samples.north[0], y = samples.east[0];
    if (std::hypot(x, y) < kNear) {
      pole = at;
      return true;
    }
    const double x_lon = (samples.north[1] - x) / kSmall, y_lon = (samples.east[1] - y) / kSmall;
    const double x_lat = (samples.north[2] - x) / up, y_lat = (samples.east[2] - y) / up;
    const double det = x_lon * y_lat - x_lat * y_lon;
    if (det == 0) return false;
    at.lon_deg -= (x * y_lat - x_lat * y) / det;
    at.lat_deg -= (x_lon * y - x * y_lon) / det;
    const bool inside = std::fabs(at.lat_deg) <= 90 && std::fabs(at.lat_deg - guess.lat_deg) <= reach_deg &&
                        std::fabs(at.lon_deg - guess.lon_deg) <= reach_deg && at.lon_deg >= -180 && at.lon_deg <= 180;
    if (!inside) return false;
  }
  return false;
}

}  // namespace agonic::chart
