// Needle zones: published places of weak field lie in them, places of strong field do not; their rings are as RFC 7946
// 3.1.6 wants them.
#include "model/chart/zones.hpp"

#include <cmath>

#include "tests/model/chart/chart_fixture.hpp"

namespace agonic::chart {
namespace {

double area(const std::vector<Vertex>& ring) {
  double twice = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vertex a = ring[i], b = ring[(i + 1) % ring.size()];
    twice += a.lon_deg * b.lat_deg - b.lon_deg * a.lat_deg;
  }
  return twice / 2;
}
bool in_ring(double lat, double lon, const std::vector<Vertex>& ring) {
  bool in = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
    if ((ring[i].lat_deg > lat) != (ring[j].lat_deg > lat) &&
        lon < (ring[j].lon_deg - ring[i].lon_deg) * (lat - ring[i].lat_deg) / (ring[j].lat_deg - ring[i].lat_deg) +
                  ring[i].lon_deg)
      in = !in;
  return in;
}
bool within(double lat, double lon, const std::vector<Polygon>& polygons) {
  for (const Polygon& polygon : polygons) {
    bool in = in_ring(lat, lon, polygon.rings.front());
    for (std::size_t i = 1; i < polygon.rings.size(); ++i) in = in && !in_ring(lat, lon, polygon.rings[i]);
    if (in) return true;
  }
  return false;
}
bool within(double lat, double lon, const Chart& chart, std::vector<Polygon> Sheet::*which) {
  for (const Sheet& sheet : chart.sheets)
    if (within(lat, lon, sheet.*which)) return true;
  return false;
}

// Dip poles as published with igrf14: there H is zero.
TEST(Zones, HoldPublishedDipPoles) {
  for (const auto& row : check_rows("igrf14/dip_poles.txt")) {
    const Chart made = chart_of({{"date", row.at("date")}, {"model", "igrf14"}});
    const double lat = std::stod(row.at("lat")), lon = std::stod(row.at("lon"));
    EXPECT_TRUE(within(lat, lon, made, &Sheet::unusable)) << row.at("date");
    EXPECT_FALSE(within(lat, lon, made, &Sheet::caution)) << row.at("date");
  }
}

// H of the WMM2025 check values at sea level.
TEST(Zones, GoByPublishedIntensities) {
  int compared = 0;
  for (const auto& row : check_rows("wmm2025/check_values.txt")) {
    const double h = std::stod(row.at("horizontal_nt"));
    double lon = std::stod(row.at("lon"));
    if (lon > 180) lon -= 360;
    const Chart made = chart_of({{"date", row.at("date")},
                                 {"model", "wmm2025"},
                                 {"height_m", std::to_string(1000 * std::stod(row.at("height_km")))}});
    EXPECT_EQ(within(std::stod(row.at("lat")), lon + 0.001, made, &Sheet::unusable), h < 2000);
    EXPECT_EQ(within(std::stod(row.at("lat")), lon + 0.001, made, &Sheet::caution), h >= 2000 && h < 6000);
    ++compared;
  }
  EXPECT_GE(compared, 12);
}

TEST(Zones, HaveRingsRoundTheLeftHand) {
  for (const char* box : {"-180,-90,180,90", "100,60,-100,90", "0,-90,360,-50"}) {
    const Chart made = chart_of({{"date", "2026-07-01"}, {"bbox", box}});
    bool hole = false;
    for (const Sheet& sheet : made.sheets) {
      for (const auto* zone : {&sheet.unusable, &sheet.caution}) {
        for (const Polygon& polygon : *zone) {
          EXPECT_GT(area(polygon.rings.front()), 0) << box;
          for (std::size_t i = 1; i < polygon.rings.size(); ++i) {
            EXPECT_LT(area(polygon.rings[i]), 0) << box;
            hole = true;
          }
          for (const auto& ring : polygon.rings) {
            EXPECT_GE(ring.size(), 3U);
            for (const Vertex& vertex : ring) {
              EXPECT_GE(vertex.lon_deg, -180);
              EXPECT_LE(vertex.lon_deg, 180);
            }
          }
        }
      }
    }
    EXPECT_TRUE(hole || std::string(box).starts_with("100")) << box;  // the south pole's zones are rings
  }
}

TEST(Zones, HaveTheirEdgesAtTheirIntensity) {
  const Chart made = chart_of({{"date", "2026-07-01"}, {"bbox", "-180,-80,180,-40"}});
  std::size_t compared = 0;
  for (const Polygon& polygon : made.sheets.front().caution) {
    for (const auto& ring : polygon.rings) {
      std::vector<double> lat, lon;
      for (const Vertex& vertex : ring) lat.push_back(vertex.lat_deg), lon.push_back(vertex.lon_deg);
      Samples samples;
      sample_points(made.source, lat, lon, samples);
      for (std::size_t i = 0; i < lat.size(); ++i, ++compared) {
        const double h = at(samples, i).horizontal();
        EXPECT_LT(std::min(std::fabs(h - 2000), std::fabs(h - 6000)), 0.011);
      }
    }
  }
  EXPECT_GT(compared, 30U);
}

}  // namespace
}  // namespace agonic::chart
