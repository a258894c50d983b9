#include "model/chart/land.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace agonic::chart {
namespace {

constexpr double kUnit = 0.01;  // degree

std::string_view next_line(std::string_view& text) {
  const std::size_t end = std::min(text.find('\n'), text.size());
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return line;
}

std::vector<Vertex> read_ring(std::string_view line) {
  std::vector<Vertex> ring;
  long lon = 0, lat = 0;
  const char* from = line.data();
  const char* const end = from + line.size();
  const auto number = [&](long& out) {
    while (from != end && *from == ' ') ++from;
    const auto [after, error] = std::from_chars(from, end, out);
    from = after;
    return error == std::errc();
  };
  long step_lon = 0, step_lat = 0;
  while (number(step_lon) && number(step_lat)) {
    lon += step_lon;
    lat += step_lat;
    ring.push_back({static_cast<double>(lon) * kUnit, static_cast<double>(lat) * kUnit});
  }
  return ring;
}

// Sutherland and Hodgman 1974, doi:10.1145/360767.360802: a polygon cut at one straight edge of the window.
template <class Inside, class Cut>
std::vector<Vertex> cut(const std::vector<Vertex>& ring, const Inside& inside, const Cut& at) {
  std::vector<Vertex> out;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vertex a = ring[(i + ring.size() - 1) % ring.size()], b = ring[i];
    if (inside(a) != inside(b)) out.push_back(at(a, b));
    if (inside(b)) out.push_back(b);
  }
  return out;
}

std::vector<Vertex> cut_to(std::vector<Vertex> ring, const Box& box) {
  const auto at_lon = [](double lon) {
    return [lon](Vertex a, Vertex b) {
      return Vertex{lon, a.lat_deg + (b.lat_deg - a.lat_deg) * (lon - a.lon_deg) / (b.lon_deg - a.lon_deg)};
    };
  };
  const auto at_lat = [](double lat) {
    return [lat](Vertex a, Vertex b) {
      return Vertex{a.lon_deg + (b.lon_deg - a.lon_deg) * (lat - a.lat_deg) / (b.lat_deg - a.lat_deg), lat};
    };
  };
  ring = cut(
      ring, [&](Vertex v) { return v.lon_deg >= box.west; }, at_lon(box.west));
  ring = cut(
      ring, [&](Vertex v) { return v.lon_deg <= box.east; }, at_lon(box.east));
  ring = cut(
      ring, [&](Vertex v) { return v.lat_deg >= box.south; }, at_lat(box.south));
  return cut(
      ring, [&](Vertex v) { return v.lat_deg <= box.north; }, at_lat(box.north));
}

bool edge_of_data(Vertex a, Vertex b) {
  constexpr double kNear = 0.006;
  const auto both = [](double x, double y, double at) {
    return std::fabs(x - at) < kNear && std::fabs(y - at) < kNear;
  };
  return both(a.lon_deg, b.lon_deg, 180) || both(a.lon_deg, b.lon_deg, -180) || both(a.lat_deg, b.lat_deg, -90);
}

void add(const std::vector<Vertex>& ring, double turn, const Projection& to, const Box& window, Land& out) {
  std::vector<Vertex> turned = ring;
  for (Vertex& vertex : turned) vertex.lon_deg += turn;
  std::vector<paper::Point> points;
  const std::vector<Vertex> shown = to.polar() ? turned : cut_to(turned, window);
  if (shown.size() < 3) return;
  points.reserve(shown.size());
  for (const Vertex& vertex : shown) points.push_back(to.at(vertex.lon_deg, vertex.lat_deg));
  out.area.polyline(points, true);
  // The coast: every side of the ring that is one and comes near the frame.
  points.clear();
  const auto near = [&](Vertex v) {
    return v.lon_deg >= window.west && v.lon_deg <= window.east && v.lat_deg >= window.south &&
           v.lat_deg <= window.north;
  };
  for (std::size_t i = 0; i <= turned.size(); ++i) {
    const std::size_t k = i % turned.size();
    const Vertex here = turned[k], before = turned[(k + turned.size() - 1) % turned.size()];
    const bool side =
        i > 0 && !edge_of_data(ring[k], ring[(k + ring.size() - 1) % ring.size()]) && (near(here) || near(before));
    if (!side) {
      out.coast.polyline(points);
      points.clear();
    }
    points.push_back(to.at(here.lon_deg, here.lat_deg));
  }
  out.coast.polyline(points);
}

}  // namespace

std::vector<std::vector<Vertex>> read_land(std::string_view text, std::string_view scale) {
  std::vector<std::vector<Vertex>> rings;
  bool wanted = false;
  while (!text.empty()) {
    const std::string_view line = next_line(text);
    if (line.empty() || line.front() == '#' || line == "end") continue;
    if (line.starts_with("scale ")) {
      const std::string_view name = line.substr(6, line.find(' ', 6) - 6);
      wanted = name == scale;
    } else if (wanted) {
      rings.push_back(read_ring(line));
    }
  }
  return rings;
}

Land project_land(const std::vector<std::vector<Vertex>>& rings, const Projection& projection) {
  Land out;
  const Box& box = projection.box();
  const double more = projection.polar() ? 2 : 0.02 * std::max(box.east - box.west, box.north - box.south);
  Box window{box.west - more, box.south - more, box.east + more, box.north + more};
  if (projection.polar()) window.west = -180.1, window.east = 180.1;
  for (const std::vector<Vertex>& ring : rings) {
    if (ring.size() < 3) continue;
    const auto [west, east] =
        std::minmax_element(ring.begin(), ring.end(), [](Vertex a, Vertex b) { return a.lon_deg < b.lon_deg; });
    const auto [south, north] =
        std::minmax_element(ring.begin(), ring.end(), [](Vertex a, Vertex b) { return a.lat_deg < b.lat_deg; });
    if (north->lat_deg < window.south || south->lat_deg > window.north) continue;
    for (const double turn : {0.0, 360.0}) {
      if (projection.polar() && turn > 0) continue;
      if (east->lon_deg + turn < window.west || west->lon_deg + turn > window.east) continue;
      add(ring, turn, projection, window, out);
    }
  }
  return out;
}

}  // namespace agonic::chart
