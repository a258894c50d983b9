// The drawn chart: what stands on it, where it stands, and that no label lies on another.
#include "model/chart/drawing.hpp"

#include <cmath>
#include <set>

#include "coefficients/coastline/coastline.hpp"
#include "model/chart/land.hpp"
#include "model/chart/projection.hpp"
#include "tests/model/chart/chart_fixture.hpp"

namespace agonic::chart {
namespace {

paper::Drawing drawn(const std::map<std::string, std::string>& given) {
  return draw(chart_of(given), coefficients::coastline_text());
}
std::vector<const paper::Label*> labels(const paper::Drawing& drawing, std::string_view name) {
  std::vector<const paper::Label*> out;
  for (const paper::Element& element : drawing.elements)
    if (const auto* label = std::get_if<paper::Label>(&element); label != nullptr && label->name == name)
      out.push_back(label);
  return out;
}
bool says(const paper::Drawing& drawing, std::string_view part) {
  std::string all;
  for (const paper::Element& element : drawing.elements)
    if (const auto* label = std::get_if<paper::Label>(&element)) all += label->text + ' ';
  return all.find(part) != std::string::npos;
}

const std::vector<std::map<std::string, std::string>> kCharts{
    {{"date", "2026-07-01"}},
    {{"date", "1600"}},
    {{"date", "2026-07-01"}, {"bbox", "4,43,17,49"}},
    {{"date", "2026-07-01"}, {"bbox", "160,-50,-170,-30"}},
    {{"date", "2026-07-01"}, {"bbox", "-180,55,180,90"}},
    {{"date", "1750"}, {"bbox", "-180,-90,180,-50"}},
    {{"date", "2026-07-01"}, {"quantity", "declination_change"}},
    {{"date", "2026-07-01"}, {"quantity", "inclination"}, {"bbox", "-20,-40,60,40"}},
};

TEST(ChartDrawing, IsSoundAndSaysWhatItIs) {
  for (const auto& given : kCharts) {
    const paper::Drawing drawing = drawn(given);
    EXPECT_FALSE(paper::check(drawing)) << (paper::check(drawing) ? paper::check(drawing)->text() : "");
    EXPECT_TRUE(says(drawing, given.at("date").substr(0, 4)));
    EXPECT_TRUE(says(drawing, given.at("date") == "2026-07-01" ? "wmm2025" : "gufm1"));
    EXPECT_TRUE(says(drawing, "valid "));
    EXPECT_TRUE(says(drawing, "1-sigma"));
    EXPECT_TRUE(says(drawing, "local rock"));
    EXPECT_NE(drawing.description.find("Lines from"), std::string::npos);
  }
}

TEST(ChartDrawing, LabelsItsLinesWithoutOverlap) {
  for (const auto& given : kCharts) {
    const paper::Drawing drawing = drawn(given);
    const auto all = labels(drawing, "label");
    EXPECT_GE(all.size(), 8U) << given.begin()->second;
    // Each as a row of spots half its height apart.
    const auto spots = [](const paper::Label& label) {
      std::vector<paper::Point> out;
      const double half = paper::text_width(label.text, label.size, label.weight) / 2;
      const double turn = label.rotation_deg * 3.14159265358979 / 180;
      for (double along = -half; along <= half; along += label.size / 3)
        out.push_back({label.at.x + along * std::cos(turn), label.at.y + along * std::sin(turn)});
      return out;
    };
    for (std::size_t i = 0; i < all.size(); ++i) {
      EXPECT_GE(all[i]->at.x, 0);
      EXPECT_LE(all[i]->at.x, drawing.width);
      EXPECT_LE(std::fabs(all[i]->rotation_deg), 90.0001);  // never upside down
      for (std::size_t k = i + 1; k < all.size(); ++k)
        for (const paper::Point& a : spots(*all[i]))
          for (const paper::Point& b : spots(*all[k]))
            EXPECT_GT(std::hypot(a.x - b.x, a.y - b.y), all[i]->size * 0.75) << all[i]->text << ' ' << all[k]->text;
    }
  }
}

TEST(ChartDrawing, MarksTheAgonicLineAndHatchesWhereTheNeedleIsWeak) {
  const paper::Drawing world = drawn(kCharts[0]);
  double zero = 0, others = 0;
  std::set<std::string> hatched;
  for (const paper::Element& element : world.elements) {
    const auto* path = std::get_if<paper::Path>(&element);
    if (path == nullptr) continue;
    if (path->name == "line agonic") zero = path->stroke->width;
    if (path->name == "line") others = std::max(others, path->stroke->width);
    if (path->fill.hatch && path->name.starts_with("needle")) hatched.insert(path->name);
  }
  EXPECT_GT(zero, others);
  EXPECT_EQ(hatched, (std::set<std::string>{"needle-caution", "needle-unusable"}));
  EXPECT_TRUE(says(world, "agonic line"));
  const paper::Drawing alps = drawn(kCharts[2]);
  EXPECT_FALSE(says(alps, "needle weak"));  // nothing is explained that is not there
  EXPECT_FALSE(says(alps, "agonic"));
}

// Snyder 1987, table 30 (polar azimuthal equidistant, south polar signs turned) and the plain formulas.
TEST(ChartProjection, PutsPlacesWhereTheyBelong) {
  const Projection world({-180, -90, 180, 90}, {0, 0}, 720, 1000);
  EXPECT_NEAR(world.frame().height, 360, 1e-9);
  EXPECT_NEAR(world.at(0, 0).x, 360, 1e-9);
  EXPECT_NEAR(world.at(90, 45).x, 540, 1e-9);
  EXPECT_NEAR(world.at(90, 45).y, 90, 1e-9);
  const Projection north({-180, 60, 180, 90}, {0, 0}, 600, 600);
  EXPECT_TRUE(north.polar());
  EXPECT_NEAR(north.at(0, 60).y, 600, 1e-9);   // Greenwich at the bottom
  EXPECT_NEAR(north.at(90, 75).x, 450, 1e-9);  // east to the right, seen from above the pole
  const Projection south({-180, -90, 180, -60}, {0, 0}, 600, 600);
  EXPECT_NEAR(south.at(0, -60).y, 0, 1e-9);  // Greenwich at the top
  EXPECT_NEAR(south.at(90, -75).x, 450, 1e-9);
  EXPECT_FALSE(Projection({-180, 10, 180, 90}, {0, 0}, 600, 600).polar());
}

// Places on land and at sea: general geography, from memory.
TEST(ChartLand, KnowsLandFromSea) {
  for (const char* scale : {"110m", "50m"}) {
    const auto rings = read_land(coefficients::coastline_text(), scale);
    ASSERT_GT(rings.size(), 100U);
    const auto land = [&](double lat, double lon) {
      bool in = false;
      for (const auto& ring : rings)
        for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
          if ((ring[i].lat_deg > lat) != (ring[j].lat_deg > lat) && lon < (ring[j].lon_deg - ring[i].lon_deg) *
                                                                                  (lat - ring[i].lat_deg) /
                                                                                  (ring[j].lat_deg - ring[i].lat_deg) +
                                                                              ring[i].lon_deg)
            in = !in;
      return in;
    };
    EXPECT_TRUE(land(48, 10));     // Swabia
    EXPECT_TRUE(land(-25, 135));   // Australia
    EXPECT_TRUE(land(-89.5, 10));  // the south pole
    EXPECT_TRUE(land(67, 179));    // Chukotka, west of the antimeridian
    EXPECT_TRUE(land(67, -178));   // and east of it
    EXPECT_FALSE(land(89.5, 10));
    EXPECT_FALSE(land(0, -30));
    EXPECT_FALSE(land(36, 18));  // the Ionian Sea
  }
}

}  // namespace
}  // namespace agonic::chart
