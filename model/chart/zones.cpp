#include "model/chart/zones.hpp"

#include <algorithm>
#include <cmath>

#include "model/chart/contour.hpp"
#include "model/chart/refine.hpp"

namespace agonic::chart {
namespace {

// The grid with each edge doubled: the outer copies lie at the same places and outside of every zone, so that all lines
// close along the edge.
std::vector<double> doubled(const std::vector<double>& nodes) {
  std::vector<double> out{nodes.front()};
  out.insert(out.end(), nodes.begin(), nodes.end());
  out.push_back(nodes.back());
  return out;
}

double area(const std::vector<Vertex>& ring) {
  double twice = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vertex a = ring[i], b = ring[(i + 1) % ring.size()];
    twice += a.lon_deg * b.lat_deg - b.lon_deg * a.lat_deg;
  }
  return twice / 2;
}

bool inside(Vertex p, const std::vector<Vertex>& ring) {
  bool in = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Vertex a = ring[i], b = ring[j];
    if ((a.lat_deg > p.lat_deg) != (b.lat_deg > p.lat_deg) &&
        p.lon_deg < (b.lon_deg - a.lon_deg) * (p.lat_deg - a.lat_deg) / (b.lat_deg - a.lat_deg) + a.lon_deg)
      in = !in;
  }
  return in;
}

// Vertices in the middle of a straight edge of the grid say nothing.
void drop_straight(std::vector<Vertex>& ring) {
  std::vector<Vertex> out;
  const std::size_t n = ring.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Vertex a = ring[(i + n - 1) % n], b = ring[i], c = ring[(i + 1) % n];
    const bool flat =
        (a.lat_deg == b.lat_deg && b.lat_deg == c.lat_deg) || (a.lon_deg == b.lon_deg && b.lon_deg == c.lon_deg);
    if (!flat) out.push_back(b);
  }
  ring = std::move(out);
}

}  // namespace

std::vector<Polygon> zone(const Source& source, const Part& part, const Samples& samples, double from_nt,
                          double to_nt) {
  const std::vector<double> lat = doubled(part.lat_deg), lon = doubled(part.lon_deg);
  const std::size_t columns = lon.size();
  const std::size_t own_columns = part.lon_deg.size();
  std::vector<double> h(lat.size() * columns, -1), band(h.size(), -1);
  for (std::size_t row = 0; row < part.lat_deg.size(); ++row) {
    for (std::size_t column = 0; column < own_columns; ++column) {
      const double here = at(samples, row * own_columns + column).horizontal();
      const std::size_t node = (row + 1) * columns + column + 1;
      h[node] = here;
      band[node] = here >= from_nt && here < to_nt ? 1 : -1;
    }
  }
  std::vector<Chain> chains;
  Contourer(columns, lat.size()).trace(band, chains);
  const std::vector<Level> levels{Level(Quantity::horizontal, from_nt), Level(Quantity::horizontal, to_nt)};
  std::vector<Crossing> crossings;
  const auto place = [&](std::uint32_t node) { return Vertex{lon[node % columns], lat[node / columns]}; };
  for (const Chain& chain : chains) {
    for (const Edge& edge : chain.edges) {
      const std::size_t level = std::max(h[edge.from], h[edge.to]) >= to_nt ? 1 : 0;
      crossings.push_back({place(edge.from),
                           place(edge.to),
                           h[edge.from] - levels[level].level,
                           h[edge.to] - levels[level].level,
                           level,
                           {},
                           true});
    }
  }
  refine(source, levels, Fineness::exact, crossings);

  std::vector<Polygon> polygons;
  std::vector<std::vector<Vertex>> holes;
  std::size_t next = 0;
  for (const Chain& chain : chains) {
    std::vector<Vertex> ring;
    for (std::size_t i = 0; i < chain.edges.size(); ++i) {
      const Vertex at = crossings[next++].at;
      if (ring.empty() || ring.back().lat_deg != at.lat_deg || ring.back().lon_deg != at.lon_deg) ring.push_back(at);
    }
    drop_straight(ring);
    if (ring.size() < 3) continue;
    if (area(ring) > 0)
      polygons.push_back({{std::move(ring)}});
    else
      holes.push_back(std::move(ring));
  }
  for (std::vector<Vertex>& hole : holes) {
    Polygon* around = nullptr;
    for (Polygon& one : polygons)
      if (inside(hole.front(), one.rings.front()) &&
          (around == nullptr || area(one.rings.front()) < area(around->rings.front())))
        around = &one;
    if (around != nullptr) around->rings.push_back(std::move(hole));
  }
  return polygons;
}

}  // namespace agonic::chart
