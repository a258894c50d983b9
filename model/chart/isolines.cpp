#include "model/chart/isolines.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "model/chart/contour.hpp"
#include "model/chart/refine.hpp"
#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

double longest_step(const std::vector<double>& nodes) {
  double longest = 0;
  for (std::size_t i = 1; i < nodes.size(); ++i) longest = std::max(longest, nodes[i] - nodes[i - 1]);
  return longest;
}

// The magnetic poles that lines end at: found once, asked for by every level.
class DipPoles {
 public:
  DipPoles(const Source& source, const Part& part)
      : source_(source), reach_(2 * std::max(longest_step(part.lat_deg), longest_step(part.lon_deg))) {}
  const Vertex* between(Vertex a, Vertex b) {
    const Vertex middle{(a.lon_deg + b.lon_deg) / 2, (a.lat_deg + b.lat_deg) / 2};
    for (const Vertex& known : found_)
      if (std::fabs(known.lon_deg - middle.lon_deg) <= reach_ && std::fabs(known.lat_deg - middle.lat_deg) <= reach_)
        return &known;
    Vertex pole;
    if (!find_dip_pole(source_, middle, reach_, pole)) return nullptr;
    found_.push_back(pole);
    return &found_.back();
  }

 private:
  const Source& source_;
  double reach_;
  std::vector<Vertex> found_;
};

bool same(Vertex a, Vertex b) {
  return std::fabs(a.lon_deg - b.lon_deg) < 1e-9 && std::fabs(a.lat_deg - b.lat_deg) < 1e-9;
}

class Builder {
 public:
  Builder(DipPoles& poles, std::vector<Line>& out) : poles_(poles), out_(out) {}

  // One chain's crossings: the stretches of them that lie on the level's own side.
  void add(double level, std::span<const Crossing> chain, bool closed) {
    const auto other = std::find_if(chain.begin(), chain.end(), [](const Crossing& one) { return !one.on_side; });
    if (other == chain.end()) {
      begin(level);
      for (const Crossing& one : chain) put(one.at);
      finish(closed);
      return;
    }
    // A closed chain is walked from where it is on the other side, all round.
    const std::size_t size = chain.size();
    const std::size_t first = closed ? static_cast<std::size_t>(other - chain.begin()) : 0;
    const std::size_t steps = closed ? size + 1 : size;
    bool inside = false;
    for (std::size_t k = 0; k < steps; ++k) {
      const Crossing& one = chain[(first + k) % size];
      const Crossing* before = k > 0 ? &chain[(first + k - 1) % size] : nullptr;
      if (one.on_side && !inside) {
        begin(level);
        if (before != nullptr) put_pole(before->at, one.at);
      }
      if (one.on_side) put(one.at);
      if (!one.on_side && inside) {
        put_pole(before->at, one.at);
        finish(false);
      }
      inside = one.on_side;
    }
    if (inside) finish(false);
  }

 private:
  void begin(double level) { line_ = {level, false, {}}; }
  void put(Vertex at) {
    if (line_.points.empty() || !same(line_.points.back(), at)) line_.points.push_back(at);
  }
  void put_pole(Vertex a, Vertex b) {
    if (const Vertex* pole = poles_.between(a, b)) put(*pole);
  }
  void finish(bool closed) {
    if (closed && line_.points.size() > 1 && same(line_.points.back(), line_.points.front())) line_.points.pop_back();
    line_.closed = closed && line_.points.size() > 2;
    if (line_.points.size() > 1) out_.push_back(std::move(line_));
    line_ = {};
  }
  DipPoles& poles_;
  std::vector<Line>& out_;
  Line line_;
};

// Values of the quantity where lines of it are wanted.
void gather(const Source& source, std::span<const Samples> samples, Quantity quantity, std::vector<double>& out,
            std::vector<std::pair<std::size_t, std::size_t>>* places = nullptr) {
  const bool needs_h = quantity == Quantity::declination_change || quantity == Quantity::declination_sigma ||
                       quantity == Quantity::declination_95;
  for (std::size_t part = 0; part < samples.size(); ++part) {
    for (std::size_t i = 0; i < samples[part].size(); ++i) {
      const Sample sample = at(samples[part], i);
      if (needs_h && sample.horizontal() < field::kNeedleUnusableNt) continue;
      out.push_back(value(source, quantity, sample));
      if (places != nullptr) places->emplace_back(part, i);
    }
  }
}

// The shortest arc that holds all these angles, as its start and length; a full circle where no gap is wider than 20
// degrees.
std::pair<double, double> arc_of(std::vector<double> angles) {
  constexpr double kGap = 20;
  std::sort(angles.begin(), angles.end());
  double widest = angles.front() + 360 - angles.back();
  double start = angles.front();
  for (std::size_t i = 1; i < angles.size(); ++i) {
    if (angles[i] - angles[i - 1] <= widest) continue;
    widest = angles[i] - angles[i - 1];
    start = angles[i];
  }
  return widest < kGap ? std::pair(-180.0, 360.0) : std::pair(start, 360 - widest);
}

// A multiple as the nearest double to its decimal: 3 * 0.1 is 0.3.
double multiple(double k, double interval) {
  const double inverse = std::round(1 / interval);
  if (interval < 1 && std::fabs(inverse * interval - 1) < 1e-9) return k / inverse;
  const double written = std::round(k * interval * 1e6) / 1e6;
  return written == 0 ? 0 : written;
}

}  // namespace

Result<std::vector<Line>> isolines(const Source& source, const Part& part, const Samples& samples, Quantity quantity,
                                   std::span<const double> levels, Fineness fineness) {
  const std::size_t columns = part.lon_deg.size();
  std::vector<Level> functions;
  functions.reserve(levels.size());
  for (const double level : levels) functions.emplace_back(quantity, level);

  struct Run {
    std::size_t level, from, to;
    bool closed;
  };
  std::vector<Run> runs;
  std::vector<Crossing> crossings;
  const Distances distances(source, samples, quantity);
  std::vector<double> distance(samples.size());
  std::vector<Chain> chains;
  Contourer contourer(columns, part.lat_deg.size());
  const auto place = [&](std::uint32_t node) {
    return Vertex{part.lon_deg[node % columns], part.lat_deg[node / columns]};
  };
  for (std::size_t k = 0; k < functions.size(); ++k) {
    distances.of(functions[k], distance);
    chains.clear();
    contourer.trace(distance, chains);
    for (const Chain& chain : chains) {
      runs.push_back({k, crossings.size(), crossings.size() + chain.edges.size(), chain.closed});
      for (const Edge& edge : chain.edges)
        crossings.push_back({place(edge.from), place(edge.to), distance[edge.from], distance[edge.to], k, {}, true});
    }
    if (crossings.size() > kMostVertices) {
      return Problem{Code::out_of_range, "interval", "",
                     "the lines have more than " + std::to_string(kMostVertices) + " vertices",
                     "Ask for a larger interval, a larger step or a smaller box"};
    }
  }
  refine(source, functions, fineness, crossings);

  std::vector<Line> lines;
  DipPoles poles(source, part);
  Builder builder(poles, lines);
  for (const Run& run : runs)
    builder.add(levels[run.level], std::span(crossings).subspan(run.from, run.to - run.from), run.closed);
  return lines;
}

std::vector<double> levels_of(const Source& source, std::span<const Samples> samples, Quantity quantity,
                              double interval) {
  std::vector<double> values, out;
  gather(source, samples, quantity, values);
  if (values.empty()) return out;
  double low = 0, high = 0;
  if (quantity == Quantity::declination) {
    const auto [start, length] = arc_of(std::move(values));
    low = start;
    high = start + length;
  } else {
    const auto [least, most] = std::minmax_element(values.begin(), values.end());
    low = *least;
    high = *most;
  }
  for (double k = std::ceil(low / interval); k * interval <= high; ++k) {
    double level = multiple(k, interval);
    if (quantity == Quantity::declination && level > 180) level -= 360;
    if (quantity == Quantity::declination && level <= -180) level += 360;
    out.push_back(level == 0 ? 0 : level);
    if (out.size() > kMostLevels) break;
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

double good_interval(const Source& source, std::span<const Samples> samples,
                     std::span<const std::vector<double>> weight, Quantity quantity) {
  constexpr double kLines = 13, kTail = 0.04, kMostLines = 72;
  const std::vector<double> candidates = good_intervals(quantity);
  std::vector<double> values;
  std::vector<std::pair<std::size_t, std::size_t>> places;
  gather(source, samples, quantity, values, &places);
  if (values.empty()) return candidates.back();
  if (quantity == Quantity::declination) {
    const double start = arc_of(values).first;
    for (double& one : values)
      if (one < start) one += 360;
  }
  std::vector<std::size_t> order(values.size());
  double whole = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    order[i] = i;
    whole += weight[places[i].first][places[i].second];
  }
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  double sum = 0, low = values[order.front()], high = values[order.back()];
  for (const std::size_t i : order) {
    const double before = sum;
    sum += weight[places[i].first][places[i].second];
    if (before <= kTail * whole && sum > kTail * whole) low = values[i];
    if (before <= (1 - kTail) * whole && sum > (1 - kTail) * whole) high = values[i];
  }
  // The tails are short of area but not of lines.
  const double all = (values[order.back()] - values[order.front()]) / kMostLines;
  for (const double interval : candidates)
    if ((high - low) / interval <= kLines && interval >= all) return interval;
  return candidates.back();
}

}  // namespace agonic::chart
