// Compass rule: a station that lies at the length s along a figure of length S takes -s/S of the misclosure.
//
// Least squares: each line gives its azimuth and its level length; with residuals v across and along it (metres),
// variances (L sigma_az)^2 and (L sigma_l)^2. The observation equations are linearised about the coordinates at hand
// and the normal equations solved until they stand still. Heights, which are apart from the rest, have variances that
// grow with L, as in levelling.
#include "model/survey/coordinates.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "model/survey/least_squares.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::survey {
namespace {

constexpr std::size_t kNone = static_cast<std::size_t>(-1);
constexpr double kMostWork = 5e8;  // multiplications a turn: about half a second
constexpr int kTurns = 6;
constexpr double kStill = 1e-7;  // metres
constexpr double kLeast = 0.01;  // metres: a plumb line has no level length, and still a weight

struct Line {
  std::size_t from, to;  // stations
  double azimuth_deg, length_m, rise_m;
};

std::optional<Problem> outside(double value, double most, const char* field, const char* meaning) {
  if (value > 0 && value <= most) return std::nullopt;
  return Problem{Code::out_of_range, field, format_trimmed(value),
                 std::string(meaning) + " lies above 0 and not above " + format_trimmed(most),
                 "Give the 1-sigma of one line"};
}

// Coordinates by walking along lines that reach something new; false for what stays out of reach.
std::vector<bool> walk(const std::vector<Line>& lines, std::vector<Point>& at) {
  std::vector<bool> reached(at.size(), false);
  reached[0] = true;
  for (bool moved = true; moved;) {
    moved = false;
    for (const Line& l : lines) {
      if (reached[l.from] == reached[l.to]) continue;
      const double sign = reached[l.from] ? 1 : -1;
      const Point& start = at[reached[l.from] ? l.from : l.to];
      Point& end = at[reached[l.from] ? l.to : l.from];
      end = {start.east_m + sign * l.length_m * sin_deg(l.azimuth_deg),
             start.north_m + sign * l.length_m * cos_deg(l.azimuth_deg), start.up_m + sign * l.rise_m};
      reached[l.from] = reached[l.to] = moved = true;
    }
  }
  return reached;
}

// One line of the linearised equations: what moves `to` against `from`, along the unit vector (east, north).
struct Equation {
  std::size_t from, to;
  double east, north, weight, residual;
};

// Adds to the coordinates what the equations ask for, station 0 held.
// @return the largest move; nothing where the network is too entangled
std::optional<double> step(const std::vector<Equation>& equations, std::vector<double>& east,
                           std::vector<double>& north) {
  const std::size_t n = east.size();
  NormalEquations normal(2 * n);
  std::vector<NormalEquations::Term> terms;
  for (const Equation& q : equations) {
    terms.clear();
    for (const auto& [station, sign] : {std::pair{q.to, 1.0}, std::pair{q.from, -1.0}}) {
      if (station == 0) continue;
      if (q.east != 0) terms.emplace_back(2 * station, sign * q.east);
      if (q.north != 0) terms.emplace_back(2 * station + 1, sign * q.north);
    }
    normal.observe(terms, q.residual, q.weight);
  }
  const auto moves = normal.solve(kMostWork);
  if (!moves) return std::nullopt;
  double most = 0;
  for (std::size_t i = 0; i < n; ++i) {
    east[i] += (*moves)[2 * i];
    north[i] += (*moves)[2 * i + 1];
    most = std::max({most, std::abs((*moves)[2 * i]), std::abs((*moves)[2 * i + 1])});
  }
  return most;
}

std::vector<Equation> level_equations(const std::vector<Line>& lines, const Precision& precision,
                                      const std::vector<double>& east, const std::vector<double>& north) {
  std::vector<Equation> out;
  for (const Line& l : lines) {
    const double de = east[l.to] - east[l.from], dn = north[l.to] - north[l.from];
    const double length = std::max(std::hypot(de, dn), 1e-6), weighed = std::max(l.length_m, kLeast);
    const double ue = de / length, un = dn / length;
    const double across = wrap_180(l.azimuth_deg - std::atan2(de, dn) / kDegree) * kDegree * length;
    out.push_back(
        {l.from, l.to, ue, un, std::pow(weighed * precision.length_sigma_percent / 100, -2), l.length_m - length});
    out.push_back({l.from, l.to, un, -ue, std::pow(weighed * precision.azimuth_sigma_deg * kDegree, -2), across});
  }
  return out;
}

// False where the network is too entangled.
bool least_squares(const std::vector<Line>& lines, const Precision& precision, std::vector<Point>& at,
                   Coordinates& out) {
  std::vector<double> east, north, up(at.size(), 0), none(at.size(), 0);
  for (const Point& p : at) east.push_back(p.east_m), north.push_back(p.north_m);
  for (int turn = 0; turn < kTurns; ++turn) {
    const auto moved = step(level_equations(lines, precision, east, north), east, north);
    if (!moved) return false;
    if (*moved < kStill) break;
  }
  double squares = 0;
  for (const Equation& q : level_equations(lines, precision, east, north))
    squares += q.weight * q.residual * q.residual;
  std::vector<Equation> rises;
  rises.reserve(lines.size());
  for (const Line& l : lines) rises.push_back({l.from, l.to, 1, 0, 1 / std::max(l.length_m, kLeast), l.rise_m});
  if (!step(rises, up, none)) return false;
  out.unit_sigma = std::sqrt(squares / static_cast<double>(out.redundancy));
  for (std::size_t i = 0; i < at.size(); ++i) at[i] = {east[i], north[i], up[i]};
  return true;
}

}  // namespace

Result<std::optional<Coordinates>> coordinates(std::span<const Leg> legs,
                                               std::span<const std::optional<double>> azimuths_deg, bool closed,
                                               const Precision& precision) {
  if (auto problem = outside(precision.azimuth_sigma_deg, 45, "reading_sigma", "an azimuth's 1-sigma")) return *problem;
  if (auto problem = outside(precision.length_sigma_percent, 50, "length_sigma_percent", "a length's 1-sigma"))
    return *problem;
  std::map<std::string, std::size_t, std::less<>> index;
  std::vector<std::string> names;
  std::vector<Line> lines;
  const auto station = [&](const std::string& name) {
    const auto [found, fresh] = index.emplace(name, names.size());
    if (fresh) names.push_back(name);
    return found->second;
  };
  for (std::size_t i = 0; i < legs.size(); ++i) {
    if (!legs[i].length_m || !azimuths_deg[i]) continue;
    const double length = *legs[i].length_m * cos_deg(legs[i].vertical_deg);
    const std::size_t from = station(legs[i].from);  // in this order: the first line's beginning is the origin
    lines.push_back(
        {from, station(legs[i].to), *azimuths_deg[i], length, *legs[i].length_m * sin_deg(legs[i].vertical_deg)});
  }
  if (lines.empty()) return std::optional<Coordinates>();

  std::vector<Point> measured(names.size());
  const std::vector<bool> reached = walk(lines, measured);
  std::erase_if(lines, [&](const Line& l) { return !reached[l.from] || !reached[l.to]; });
  // What is tied to the first station is numbered anew, so that it stands alone in the equations.
  std::vector<std::size_t> place(names.size(), kNone);
  Coordinates out;
  std::vector<Point> at;
  for (std::size_t i = 0; i < names.size(); ++i)
    if (reached[i]) {
      place[i] = at.size();
      at.push_back(measured[i]);
      out.stations.push_back({names[i], measured[i], std::nullopt, std::nullopt});
    }
  for (Line& l : lines) l.from = place[l.from], l.to = place[l.to], out.length_m += l.length_m;
  out.lines = lines.size();
  out.redundancy = 2 * (lines.size() + 1 - at.size());
  out.closed = closed && lines.size() == legs.size();
  if (out.closed) {
    Point end;
    std::vector<double> along{0};
    for (const Line& l : lines) {
      end.east_m += l.length_m * sin_deg(l.azimuth_deg);
      end.north_m += l.length_m * cos_deg(l.azimuth_deg);
      end.up_m += l.rise_m;
      along.push_back(along.back() + l.length_m);
    }
    out.misclosure = end;
    out.misclosure_m = std::hypot(end.east_m, end.north_m);
    // In a figure the stations come in the order of the lines, so that along[i] belongs to station i.
    Point sum;
    for (std::size_t i = 0; i < at.size(); ++i) {
      const double part = along[i] / out.length_m;
      out.stations[i].measured = sum;
      out.stations[i].compass_rule =
          Point{sum.east_m - part * end.east_m, sum.north_m - part * end.north_m, sum.up_m - part * end.up_m};
      sum.east_m += lines[i].length_m * sin_deg(lines[i].azimuth_deg);
      sum.north_m += lines[i].length_m * cos_deg(lines[i].azimuth_deg);
      sum.up_m += lines[i].rise_m;
      at[i] = *out.stations[i].compass_rule;
    }
  }
  if (out.redundancy > 0) {
    if (least_squares(lines, precision, at, out))
      for (std::size_t i = 0; i < at.size(); ++i) out.stations[i].least_squares = at[i];
  }
  return std::optional(std::move(out));
}

}  // namespace agonic::survey
