#include "model/chart/labels.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "model/units/angle.hpp"

namespace agonic::chart {
namespace {

using paper::Point;

bool divides(double interval, double level) {
  const double count = level / interval;
  return std::fabs(count - std::round(count)) < 1e-6;
}

// The chart's interval and rounder ones, each a multiple of the one before.
std::vector<double> ranks(Quantity quantity, double interval) {
  static constexpr std::array kAngles{0.01, 0.05, 0.1, 0.5, 1.0, 5.0, 10.0, 30.0, 90.0};
  std::vector<double> out{interval};
  if (quantity == Quantity::declination) {
    for (const double round : kAngles)
      if (round > out.back() * 1.001 && divides(out.back(), round)) out.push_back(round);
    return out;
  }
  for (int i = 0; i < 6; ++i) out.push_back(out.back() * (i % 2 == 0 ? 5 : 2));
  return out;
}

double rank_of(const std::vector<double>& ranks, double level) {
  double best = ranks.front();
  for (const double rank : ranks)
    if (divides(rank, level)) best = rank;
  return best;
}

// How fast the quantity changes across the paper at each vertex, in its unit a unit of paper.
std::vector<double> slopes(const Chart& chart, const Projection& projection, const std::vector<Vertex>& at_,
                           const std::vector<double>& turn) {
  constexpr double kStep = 0.01;  // degree
  const std::size_t size = at_.size();
  std::vector<double> lat, lon;
  lat.reserve(3 * size);
  lon.reserve(3 * size);
  for (const Vertex& v : at_) {
    const double up = v.lat_deg > 0 ? -kStep : kStep;
    lat.insert(lat.end(), {v.lat_deg, v.lat_deg, v.lat_deg + up});
    lon.insert(lon.end(), {v.lon_deg, v.lon_deg + kStep, v.lon_deg});
  }
  Samples samples;
  sample_points(chart.source, lat, lon, samples);
  std::vector<double> out(size);
  for (std::size_t i = 0; i < size; ++i) {
    const auto of = [&](std::size_t k) { return value(chart.source, chart.query.quantity, at(samples, 3 * i + k)); };
    const double here = of(0);
    double east = of(1) - here, along = of(2) - here;
    if (chart.query.quantity == Quantity::declination) east = wrap_180(east), along = wrap_180(along);
    const auto place = [&](std::size_t k) { return projection.at(lon[3 * i + k] + turn[i], lat[3 * i + k]); };
    const Point p = place(0), e = place(1), n = place(2);
    const double ux = e.x - p.x, uy = e.y - p.y, vx = n.x - p.x, vy = n.y - p.y;
    const double det = ux * vy - uy * vx;
    // At the pole itself the paper has no east: lines crowd there anyway.
    out[i] = det == 0 ? INFINITY : std::hypot((east * vy - along * uy) / det, (ux * along - vx * east) / det);
  }
  return out;
}

double length_of(const std::vector<Point>& points) {
  double sum = 0;
  for (std::size_t i = 1; i < points.size(); ++i)
    sum += std::hypot(points[i].x - points[i - 1].x, points[i].y - points[i - 1].y);
  return sum;
}

// A line measured from its start.
class Measured {
 public:
  explicit Measured(const std::vector<Point>& points) : points_(points), at_(points.size(), 0) {
    for (std::size_t i = 1; i < points.size(); ++i)
      at_[i] = at_[i - 1] + std::hypot(points[i].x - points[i - 1].x, points[i].y - points[i - 1].y);
  }
  [[nodiscard]] double length() const { return at_.back(); }
  /// How far along the i-th point lies.
  [[nodiscard]] double of(std::size_t i) const { return at_[i]; }
  [[nodiscard]] Point at(double along) const {
    const auto after = std::upper_bound(at_.begin(), at_.end(), along);
    if (after == at_.begin()) return points_.front();
    if (after == at_.end()) return points_.back();
    const auto i = static_cast<std::size_t>(after - at_.begin());
    const double t = (along - at_[i - 1]) / (at_[i] - at_[i - 1]);
    return {points_[i - 1].x + t * (points_[i].x - points_[i - 1].x),
            points_[i - 1].y + t * (points_[i].y - points_[i - 1].y)};
  }

 private:
  const std::vector<Point>& points_;
  std::vector<double> at_;
};

struct Seat {
  Point at;
  double turn_deg = 0;
  double along = 0;
};

// What is left of a line with gaps in it, which do not overlap.
std::vector<std::vector<Point>> opened(const std::vector<Point>& points, const Measured& line,
                                       std::vector<std::pair<double, double>> gaps) {
  std::sort(gaps.begin(), gaps.end());
  std::vector<std::vector<Point>> out;
  double from = 0;
  std::size_t next = 0;
  const auto piece = [&](double to) {
    if (to - from < 1) return;
    std::vector<Point> one{line.at(from)};
    while (next < points.size() && line.of(next) <= from) ++next;
    while (next < points.size() && line.of(next) < to) one.push_back(points[next++]);
    one.push_back(line.at(to));
    out.push_back(std::move(one));
  };
  for (const auto& [open, close] : gaps) {
    piece(open);
    from = close;
  }
  piece(line.length());
  return out;
}

// A label's seat about `along`, if the line is straight enough there and the room is free.
bool seat(const Measured& line, double along, double width, double size, const Projection& projection,
          const Taken& taken, Seat& out) {
  constexpr double kBend = 0.12;  // of the size: how far the line may leave the chord
  const double from = along - width / 2, to = along + width / 2;
  if (from < 2 || to > line.length() - 2) return false;
  const Point a = line.at(from), b = line.at(to);
  const double chord = std::hypot(b.x - a.x, b.y - a.y);
  if (chord < 0.97 * width) return false;
  double sum_x = 0, sum_y = 0;
  constexpr int kParts = 6;
  for (int i = 0; i <= kParts; ++i) {
    const Point p = line.at(from + (to - from) * i / kParts);
    const double away = std::fabs((b.x - a.x) * (a.y - p.y) - (a.x - p.x) * (b.y - a.y)) / chord;
    if (away > kBend * width) return false;
    if (!projection.shows(p, size * 0.8) || !taken.free(p, size * 0.75)) return false;
    sum_x += p.x;
    sum_y += p.y;
  }
  out.at = {sum_x / (kParts + 1), sum_y / (kParts + 1)};
  out.along = along;
  out.turn_deg = std::atan2(b.y - a.y, b.x - a.x) * 180 / std::numbers::pi;
  if (out.turn_deg > 90) out.turn_deg -= 180;
  if (out.turn_deg <= -90) out.turn_deg += 180;
  return true;
}

}  // namespace

std::vector<Stretch> stretches(const Chart& chart, const Projection& projection, double least_gap) {
  const std::vector<double> known = ranks(chart.query.quantity, chart.interval);
  std::vector<Vertex> vertices;
  std::vector<double> turns;
  for (const Sheet& sheet : chart.sheets) {
    for (const Line& line : sheet.lines) {
      vertices.insert(vertices.end(), line.points.begin(), line.points.end());
      turns.insert(turns.end(), line.points.size(), sheet.part.turn_deg);
    }
  }
  const std::vector<double> slope = slopes(chart, projection, vertices, turns);
  std::vector<Stretch> out;
  std::size_t next = 0;
  for (const Sheet& sheet : chart.sheets) {
    for (const Line& line : sheet.lines) {
      const std::size_t size = line.points.size();
      const double rank = rank_of(known, line.level);
      // Of zero there is one line only: it gives way last.
      const double gap = line.level == 0 ? least_gap / 3 : least_gap;
      Stretch one{line.level, rank, {{}}};
      const auto finish = [&] {
        if (one.pieces[0].size() > 1 && length_of(one.pieces[0]) > 2 * least_gap) out.push_back(one);
        one.pieces[0].clear();
      };
      for (std::size_t i = 0; i < size + (line.closed ? 1 : 0); ++i) {
        const std::size_t k = i % size;
        if (slope[next + k] * gap > rank) {
          finish();
          continue;
        }
        one.pieces[0].push_back(projection.at(line.points[k].lon_deg + sheet.part.turn_deg, line.points[k].lat_deg));
      }
      finish();
      next += size;
    }
  }
  return out;
}

bool Taken::free(Point at, double radius) const {
  return std::none_of(spots_.begin(), spots_.end(), [&](const Spot& spot) {
    return std::hypot(spot.at.x - at.x, spot.at.y - at.y) < spot.radius + radius;
  });
}

std::vector<paper::Label> label(std::vector<Stretch>& lines, const Projection& projection, double size,
                                const std::vector<std::string>& text, Taken& taken) {
  constexpr double kApart = 430, kStep = 9;
  std::vector<std::size_t> order(lines.size());
  std::vector<double> length(lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i) {
    order[i] = i;
    length[i] = length_of(lines[i].pieces[0]);
  }
  // Zero first, then round lines, then long ones.
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const bool zero_a = lines[a].level == 0, zero_b = lines[b].level == 0;
    if (zero_a != zero_b) return zero_a;
    if (lines[a].rank != lines[b].rank) return lines[a].rank > lines[b].rank;
    return length[a] > length[b];
  });
  std::vector<paper::Label> out;
  for (const std::size_t i : order) {
    const std::vector<Point> whole = lines[i].pieces[0];
    const Measured line(whole);
    std::vector<std::pair<double, double>> gaps;
    const double gap = paper::text_width(text[i], size) + size * 0.35, width = gap + size * 0.5;
    if (line.length() < 1.6 * width) continue;
    const int count = 1 + static_cast<int>(line.length() / kApart);
    for (int k = 0; k < count; ++k) {
      // From the middle of its share outwards.
      const double middle = line.length() * (k + 0.5) / count, reach = line.length() / count / 2;
      Seat found;
      bool seated = false;
      for (double off = 0; off <= reach && !seated; off += kStep)
        for (const double along : {middle + off, middle - off})
          if (!seated) seated = seat(line, along, width, size, projection, taken, found);
      if (!seated) continue;
      paper::Label label;
      label.at = found.at;
      label.rotation_deg = found.turn_deg;
      label.text = text[i];
      label.size = size;
      label.anchor = paper::Anchor::middle;
      label.level = paper::Level::middle;
      out.push_back(label);
      const double turn = found.turn_deg * std::numbers::pi / 180;
      for (double along = -width / 2; along <= width / 2; along += size / 2)
        taken.take({found.at.x + along * std::cos(turn), found.at.y + along * std::sin(turn)}, size * 0.7);
      gaps.emplace_back(found.along - gap / 2, found.along + gap / 2);
    }
    if (!gaps.empty()) lines[i].pieces = opened(whole, line, gaps);
  }
  return out;
}

}  // namespace agonic::chart
