#include "model/chart/source.hpp"

#include <cmath>
#include <numbers>

#include "model/units/angle.hpp"

namespace agonic::chart {
namespace {

constexpr double kDegree = std::numbers::pi / 180;

// The columns of components that are wanted, and D of another model at the seam into `step_deg`.
template <class Evaluate>
void fill(const Source& source, std::size_t size, Samples& out, const Evaluate& evaluate) {
  out.resize(size);
  field::FieldColumns columns;
  columns.north_nt = out.north;
  columns.east_nt = out.east;
  columns.down_nt = out.down;
  columns.north_nt_per_year = out.north_change;
  columns.east_nt_per_year = out.east_change;
  evaluate(*source.model, source.decimal_year, columns);
  if (source.neighbour == nullptr) return;
  std::vector<double> here(size), there(size);
  field::FieldColumns d;
  d.declination_deg = here;
  evaluate(*source.model, source.seam_year, d);
  d.declination_deg = there;
  evaluate(*source.neighbour, source.seam_year, d);
  for (std::size_t i = 0; i < size; ++i) out.step_deg[i] = wrap_180(there[i] - here[i]);
}

}  // namespace

void Samples::resize(std::size_t size) {
  for (auto* column : {&north, &east, &down, &north_change, &east_change, &step_deg}) column->resize(size);
}

void sample_grid(const Source& source, std::span<const double> lat_deg, std::span<const double> lon_deg, Samples& out) {
  fill(source, lat_deg.size() * lon_deg.size(), out,
       [&](const field::CoefficientSet& model, double year, const field::FieldColumns& columns) {
         field::evaluate_grid(model, lat_deg, lon_deg, source.height_m, year, columns);
       });
}

void sample_points(const Source& source, std::span<const double> lat_deg, std::span<const double> lon_deg,
                   Samples& out) {
  const std::vector<double> height(lat_deg.size(), source.height_m);
  std::vector<double> years(lat_deg.size());
  fill(source, lat_deg.size(), out,
       [&](const field::CoefficientSet& model, double year, const field::FieldColumns& columns) {
         years.assign(years.size(), year);
         field::evaluate_columns(model, {lat_deg, lon_deg, height, years}, columns);
       });
}

double Sample::horizontal() const { return std::sqrt(north * north + east * east); }

double value(const Source& source, Quantity quantity, const Sample& s) {
  const double h = s.horizontal();
  switch (quantity) {
    case Quantity::declination:
      return h > 0 ? std::atan2(s.east, s.north) / kDegree : 0;
    case Quantity::declination_change:
      return h > 0 ? (s.north * s.east_change - s.east * s.north_change) / (h * h) / kDegree : 0;
    case Quantity::horizontal:
      return h;
    case Quantity::inclination:
      return std::atan2(s.down, h) / kDegree;
    case Quantity::declination_sigma:
    case Quantity::declination_95:
      break;
  }
  const auto uncertainty = field::declination_uncertainty(*source.model, source.decimal_year, h);
  const double own = quantity == Quantity::declination_sigma ? uncertainty.sigma_deg : uncertainty.half_width_95_deg;
  return s.step_deg == 0 ? own : std::min(180.0, std::hypot(own, s.step_deg));
}

Level::Level(Quantity of, double at) : quantity(of), level(at) {
  if (of != Quantity::declination) return;
  turned = {std::cos(at * kDegree), std::sin(at * kDegree)};
  if (at == 0) turned = {1, 0};
  if (std::fabs(at) == 180) turned = {-1, 0};
}

double Level::distance(const Source& source, const Sample& s) const {
  switch (quantity) {
    case Quantity::declination:
      return s.east * turned[0] - s.north * turned[1];
    case Quantity::declination_change:
      return s.north * s.east_change - s.east * s.north_change -
             level * kDegree * (s.north * s.north + s.east * s.east);
    default:
      return value(source, quantity, s) - level;
  }
}

bool Level::on_side(const Sample& s) const {
  return quantity != Quantity::declination || s.north * turned[0] + s.east * turned[1] > 0;
}

double Level::error(const Sample& s, double distance) const {
  const double h = s.horizontal();
  switch (quantity) {
    case Quantity::declination:
      return h > 0 ? distance / h / kDegree : 0;
    case Quantity::declination_change:
      return h > 0 ? distance / (h * h) / kDegree : 0;
    default:
      return distance;
  }
}

Distances::Distances(const Source& source, const Samples& samples, Quantity quantity)
    : samples_(samples), quantity_(quantity) {
  const std::size_t size = samples.size();
  if (quantity == Quantity::declination) return;
  first_.resize(size);
  if (quantity != Quantity::declination_change) {
    for (std::size_t i = 0; i < size; ++i) first_[i] = value(source, quantity, at(samples, i));
    return;
  }
  second_.resize(size);
  for (std::size_t i = 0; i < size; ++i) {
    const Sample s = at(samples, i);
    first_[i] = s.north * s.east_change - s.east * s.north_change;
    second_[i] = kDegree * (s.north * s.north + s.east * s.east);
  }
}

void Distances::of(const Level& level, std::span<double> out) const {
  const std::size_t size = out.size();
  switch (quantity_) {
    case Quantity::declination:
      for (std::size_t i = 0; i < size; ++i)
        out[i] = samples_.east[i] * level.turned[0] - samples_.north[i] * level.turned[1];
      break;
    case Quantity::declination_change:
      for (std::size_t i = 0; i < size; ++i) out[i] = first_[i] - level.level * second_[i];
      break;
    default:
      for (std::size_t i = 0; i < size; ++i) out[i] = first_[i] - level.level;
  }
}

}  // namespace agonic::chart
