// At the station between the line that comes in and the line that goes out, the angle from the back azimuth of the
// first clockwise to the fore azimuth of the second is the interior angle where the figure runs counterclockwise, and
// 360 less it where it runs clockwise. From a held line, azimuth(next) = azimuth + 180 + that clockwise angle.
#include "model/survey/figure.hpp"

#include <cmath>
#include <set>

#include "model/survey/thresholds.hpp"
#include "model/units/angle.hpp"

namespace agonic::survey {
namespace {

bool is_closed(std::span<const Leg> legs) {
  if (legs.size() < 3) return false;
  std::set<std::string_view> passed;
  for (std::size_t i = 0; i < legs.size(); ++i)
    if (legs[i].to != legs[(i + 1) % legs.size()].from || !passed.insert(legs[i].from).second) return false;
  return true;
}

bool usable(LegState state) { return state != LegState::unread && state != LegState::reversed; }

}  // namespace

std::optional<ClosedFigure> closed_figure(std::span<const Leg> legs, const LocalAttraction& attraction) {
  if (!is_closed(legs)) return std::nullopt;
  const std::size_t n = legs.size();
  ClosedFigure out;
  out.should_be_deg = 180 * (static_cast<double>(n) - 2);
  out.limit_deg = threshold::kAngularDeg * std::sqrt(static_cast<double>(n));
  for (std::size_t i = 0; i < n; ++i)
    if (!legs[i].fore_deg || !legs[i].back_deg || !usable(attraction.legs[i].state)) return out;

  std::vector<double> clockwise(n);  // from the line before to this one, at the station where this one begins
  double sum = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t before = (i + n - 1) % n;
    // A bent needle spoils both arms of an angle, in opposite ways; the means of fore and back are free of it.
    clockwise[i] = attraction.constant_difference_deg
                       ? wrap_360(*attraction.legs[i].azimuth_deg - *attraction.legs[before].azimuth_deg - 180)
                       : wrap_360(*legs[i].fore_deg - *legs[before].back_deg);
    sum += clockwise[i];
    out.difference_sum_deg += *attraction.legs[i].difference_deg;
  }
  // Interior angles add up to 180 (n - 2), those outside to 180 (n + 2).
  out.clockwise = sum > 180 * static_cast<double>(n);
  out.sum_deg = out.clockwise ? 360 * static_cast<double>(n) - sum : sum;
  out.misclosure_deg = out.sum_deg - out.should_be_deg;
  out.adjusted = std::abs(out.misclosure_deg) <= out.limit_deg;
  const double share = out.adjusted ? out.misclosure_deg / static_cast<double>(n) : 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double interior = wrap_360(out.clockwise ? 360 - clockwise[i] : clockwise[i]);
    out.angles.push_back({legs[i].from, interior, interior - share});
  }
  if (!out.adjusted) return out;

  for (std::size_t i = 0; i < n; ++i) {
    const LegFinding& leg = attraction.legs[i];
    const auto free = [&](const std::string& name) {
      const Station* station = attraction.find(name);
      return station->state == StationState::free || station->state == StationState::declared;
    };
    const bool holds = attraction.any_free() ? (free(legs[i].from) || free(legs[i].to))
                                             : attraction.constant_difference_deg.has_value();
    if (!holds || !leg.azimuth_deg) continue;
    // Ends that are both free come before ends of which one is.
    const auto rank = [&](std::size_t k) {
      const double both = free(legs[k].from) && free(legs[k].to) ? 0 : 1000;
      return both + std::abs(attraction.legs[k].leftover_deg.value_or(0));
    };
    if (!out.held_leg || rank(i) < rank(*out.held_leg) - 1e-9) out.held_leg = i;
  }
  if (!out.held_leg) return out;
  out.azimuths_deg.assign(n, 0);
  std::size_t at = *out.held_leg;
  double azimuth = *attraction.legs[at].azimuth_deg;
  for (std::size_t k = 0; k < n; ++k) {
    out.azimuths_deg[at] = azimuth;
    at = (at + 1) % n;
    const double angle = out.angles[at].adjusted_deg;
    azimuth = wrap_360(azimuth + 180 + (out.clockwise ? 360 - angle : angle));
  }
  return out;
}

}  // namespace agonic::survey
