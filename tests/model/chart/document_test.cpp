// GeoJSON by RFC 7946, CoverageJSON by OGC 21-069r2, CSV by RFC 4180, read by another JSON library; numbers at nodes
// against the published check values of the models.
#include "model/chart/document.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "coefficients/coastline/coastline.hpp"
#include "tests/model/chart/chart_fixture.hpp"

namespace agonic::chart {
namespace {

using nlohmann::json;

void expect_position(const json& position) {
  ASSERT_EQ(position.size(), 2U);
  EXPECT_LE(std::fabs(position[0].get<double>()), 180);
  EXPECT_LE(std::fabs(position[1].get<double>()), 90);
}

// RFC 7946: 3.1.9 (cut at the antimeridian), 3.1.6 (rings), 4 (no crs member), 5 (bbox).
TEST(ChartGeoJson, IsAFeatureCollectionCutAtTheAntimeridian) {
  for (const std::string box : {"-180,-90,180,90", "150,-60,-150,85", "0,-90,360,90"}) {
    const auto document = json::parse(to_geojson(chart_of({{"date", "2026-07-01"}, {"bbox", box}})));
    EXPECT_EQ(document["type"], "FeatureCollection");
    EXPECT_FALSE(document.contains("crs"));
    ASSERT_EQ(document["bbox"].size(), 4U);
    EXPECT_LE(document["bbox"][2].get<double>(), 180);
    EXPECT_EQ(document["model"], "wmm2025");
    bool lines = false, zones = false;
    for (const json& feature : document["features"]) {
      EXPECT_EQ(feature["type"], "Feature");
      ASSERT_TRUE(feature["properties"].is_object());
      const json& geometry = feature["geometry"];
      if (geometry["type"] == "MultiLineString") {
        lines = true;
        EXPECT_EQ(feature["properties"]["agonic"], feature["properties"]["value"] == 0.0);
        for (const json& line : geometry["coordinates"]) {
          ASSERT_GE(line.size(), 2U);
          for (std::size_t i = 0; i < line.size(); ++i) {
            expect_position(line[i]);
            // Nothing goes the long way round.
            EXPECT_LE(std::fabs(line[i][0].get<double>() - line[i > 0 ? i - 1 : 0][0].get<double>()), 2.000001);
          }
        }
      } else {
        zones = true;
        ASSERT_EQ(geometry["type"], "MultiPolygon");
        EXPECT_TRUE(feature["properties"]["needle"] == "unusable" || feature["properties"]["needle"] == "caution");
        for (const json& polygon : geometry["coordinates"]) {
          for (const json& ring : polygon) {
            ASSERT_GE(ring.size(), 4U);
            EXPECT_EQ(ring.front(), ring.back());
            for (const json& position : ring) expect_position(position);
          }
        }
      }
    }
    EXPECT_TRUE(lines) << box;
    EXPECT_TRUE(zones) << box;
  }
}

TEST(ChartGeoJson, JoinsAtTheAntimeridianWhatItCutThere) {
  const auto document = json::parse(to_geojson(chart_of({{"date", "2026-07-01"}, {"bbox", "150,-60,-150,60"}})));
  for (const json& feature : document["features"]) {
    if (feature["geometry"]["type"] != "MultiLineString") continue;
    std::vector<double> east, west;
    for (const json& line : feature["geometry"]["coordinates"]) {
      for (const json& end : {line.front(), line.back()}) {
        if (end[0] == 180.0) east.push_back(end[1]);
        if (end[0] == -180.0) west.push_back(end[1]);
      }
    }
    std::sort(east.begin(), east.end());
    std::sort(west.begin(), west.end());
    ASSERT_EQ(east.size(), west.size());
    for (std::size_t i = 0; i < east.size(); ++i) EXPECT_NEAR(east[i], west[i], 1e-5);
  }
}

TEST(ChartCoverageJson, HasAGridDomainAndArraysOfItsShape) {
  const auto document =
      json::parse(to_coverage_json(chart_of({{"date", "2026-07-01"}, {"bbox", "170,-90,-170,90"}, {"step_deg", "5"}})));
  EXPECT_EQ(document["type"], "Coverage");
  const json& domain = document["domain"];
  EXPECT_EQ(domain["type"], "Domain");
  EXPECT_EQ(domain["domainType"], "Grid");
  EXPECT_EQ(domain["axes"]["x"], json::parse(R"({"start":170.0,"stop":190.0,"num":5})"));
  EXPECT_EQ(domain["axes"]["y"], json::parse(R"({"start":-90.0,"stop":90.0,"num":37})"));
  EXPECT_EQ(domain["axes"]["t"]["values"][0], "2026-07-01T00:00:00Z");
  EXPECT_EQ(domain["referencing"][0]["system"]["id"], "http://www.opengis.net/def/crs/OGC/1.3/CRS84");
  EXPECT_EQ(document["parameters"].size(), document["ranges"].size());
  for (const auto& [name, parameter] : document["parameters"].items()) {
    EXPECT_EQ(parameter["type"], "Parameter");
    EXPECT_TRUE(parameter["observedProperty"]["label"].contains("en"));
    EXPECT_TRUE(parameter["unit"].contains("symbol"));
    const json& range = document["ranges"][name];
    EXPECT_EQ(range["type"], "NdArray");
    EXPECT_EQ(range["dataType"], "float");
    EXPECT_EQ(range["axisNames"], json::parse(R"(["t","y","x"])"));
    EXPECT_EQ(range["shape"], json::parse("[1,37,5]"));
    EXPECT_EQ(range["values"].size(), 37U * 5U);
    for (const json& value : range["values"]) EXPECT_TRUE(value.is_number() || value.is_null());
  }
  // At the geographic poles D has no meaning, the field's intensity has.
  EXPECT_TRUE(document["ranges"]["declination_deg"]["values"][0].is_null());
  EXPECT_TRUE(document["ranges"]["declination_deg"]["values"].back().is_null());
  EXPECT_TRUE(document["ranges"]["horizontal_nt"]["values"][0].is_number());
  const auto odd =
      json::parse(to_coverage_json(chart_of({{"date", "2026-07-01"}, {"bbox", "0,0,11,6"}, {"step_deg", "4"}})));
  EXPECT_EQ(odd["domain"]["axes"]["x"]["values"], json::parse("[0.0,4.0,8.0,11.0]"));
}

// Check values of the models' reports at nodes of a grid of 20 degrees: D, H, I and the yearly change of D, as printed.
TEST(ChartCoverageJson, GivesThePublishedCheckValuesAtItsNodes) {
  int compared = 0;
  for (const std::string model : {"wmm2025", "wmm2020"}) {
    for (const auto& row : check_rows(model + "/check_values.txt")) {
      const double lat = std::stod(row.at("lat")), lon = std::stod(row.at("lon"));
      if (std::fmod(lat + 90, 10) != 0 || std::fmod(lon, 20) != 0) continue;
      const Chart made = chart_of({{"date", row.at("date")},
                                   {"model", model},
                                   {"height_m", std::to_string(1000 * std::stod(row.at("height_km")))},
                                   {"bbox", "0,-90,360,90"},
                                   {"step_deg", "10"}});
      const auto document = json::parse(to_coverage_json(made));
      const auto node = static_cast<std::size_t>(std::lround((lat + 90) / 10 * 37 + lon / 10));
      const auto near = [&](const char* name, const char* column) {
        EXPECT_NEAR(document["ranges"][name]["values"][node].get<double>(), std::stod(row.at(column)),
                    half_unit(row.at(column)))
            << model << ' ' << name << ' ' << lat << ' ' << lon;
      };
      near("declination_deg", "declination_deg");
      near("inclination_deg", "inclination_deg");
      near("horizontal_nt", "horizontal_nt");
      near("declination_change_deg_per_year", "declination_change_deg_per_year");
      ++compared;
    }
  }
  EXPECT_GE(compared, 12);
}

// The error model published with WMM2025: sqrt(0.26^2 + (5417 / H)^2) degrees.
TEST(ChartCoverageJson, GivesThePublishedErrorModel) {
  const auto document =
      json::parse(to_coverage_json(chart_of({{"date", "2027-07-01"}, {"bbox", "-60,-60,60,60"}, {"step_deg", "10"}})));
  const json& h = document["ranges"]["horizontal_nt"]["values"];
  const json& sigma = document["ranges"]["declination_sigma_deg"]["values"];
  for (std::size_t i = 0; i < h.size(); ++i)
    EXPECT_NEAR(sigma[i].get<double>(), std::hypot(0.26, 5417 / h[i].get<double>()), 1e-9);
}

TEST(ChartCsv, HasARowANode) {
  const std::string csv = to_csv(chart_of({{"date", "2026-07-01"}, {"bbox", "170,60,-170,90"}, {"step_deg", "10"}}));
  std::istringstream in(csv);
  std::string line;
  std::getline(in, line);
  EXPECT_EQ(line,
            "lat_deg,lon_deg,declination_deg,declination_change_deg_per_year,declination_sigma_deg,declination_95_deg,"
            "horizontal_nt,inclination_deg,needle,date,height_m,model,software\r");
  std::vector<std::string> rows;
  while (std::getline(in, line)) rows.push_back(line);
  ASSERT_EQ(rows.size(), 12U);
  for (const std::string& row : rows) EXPECT_EQ(std::count(row.begin(), row.end(), ','), 12) << row;
  EXPECT_TRUE(rows[0].starts_with("60,170,"));
  EXPECT_TRUE(rows[2].starts_with("60,-170,"));
  EXPECT_TRUE(rows[9].starts_with("90,170,,"));  // no declination at the pole
  EXPECT_NE(rows[9].find(",unusable,2026-07-01,0,wmm2025,"), std::string::npos);
}

TEST(ChartDocument, KnowsItsFormats) {
  for (const Format format : {Format::geojson, Format::coverage, Format::csv, Format::svg, Format::png})
    EXPECT_EQ(format_of_name(media_type(format)), format);
  EXPECT_EQ(format_of_name("covjson"), Format::coverage);
  EXPECT_EQ(format_of_name("SVG"), Format::svg);
  EXPECT_FALSE(format_of_name("gif"));
  EXPECT_FALSE(format_of_name(""));
}

TEST(ChartDocument, IsTheSameEachTime) {
  for (const Format format : {Format::geojson, Format::coverage, Format::csv, Format::svg, Format::png}) {
    const auto made = [&] {
      return *document(chart_of({{"date", "2026"}, {"bbox", "-10,35,30,60"}, {"width_px", "500"}}), format,
                       coefficients::coastline_text());
    };
    EXPECT_EQ(made(), made());
  }
}

}  // namespace
}  // namespace agonic::chart
