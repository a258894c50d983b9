// GeoJSON (RFC 7946): positions are longitude, latitude, height; other members are foreign and stay.
#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

std::string feature(const std::string& geometry, const std::string& properties) {
  return R"({"type":"Feature","id":7,"geometry":)" + geometry + R"(,"properties":)" + properties + "}";
}
std::string collection(const std::string& features) {
  return R"({"type":"FeatureCollection","crs_note":"x","features":[)" + features + R"(],"bbox":[1,2,3,4]})";
}
const std::string kColumns = R"({"date":"2020-07-01","azimuth":100,"north_reference":"magnetic"})";
nlohmann::json properties(const Batch& result, std::size_t i = 0) {
  return nlohmann::json::parse(result.out).at("features").at(i).at("properties");
}

TEST(GeoJson, PointGivesThePlace) {
  const Batch point = geojson(collection(feature(R"({"type":"Point","coordinates":[7.25,46.5,2000]})", kColumns)));
  const Batch same = ndjson(R"({"lat":46.5,"lon":7.25,"height_m":2000,)" + kColumns.substr(1) + "\n");
  EXPECT_EQ(properties(point)["azimuth_true"], nlohmann::json::parse(same.out)["azimuth_true"]);
  const auto document = nlohmann::json::parse(point.out);
  EXPECT_EQ(document["type"], "FeatureCollection");
  EXPECT_EQ(document["crs_note"], "x");
  EXPECT_EQ(document["bbox"].size(), 4U);
  EXPECT_EQ(document["features"][0]["id"], 7);
  EXPECT_EQ(document["features"][0]["geometry"]["coordinates"][2], 2000);
  EXPECT_EQ(document["summary"]["corrected"], 1);
  EXPECT_FALSE(document["features"][0].contains("azimuth_true")) << "members are added to properties";
}

TEST(GeoJson, ColumnsStandBeforeThePoint) {
  const std::string here = R"({"type":"Point","coordinates":[7.25,46.5]})";
  const auto with = [&](const std::string& place) {
    return geojson(collection(feature(here, "{" + place + "," + kColumns.substr(1))));
  };
  const auto near = properties(with(R"("other":1)"))["declination"];
  const auto rounded = properties(with(R"("lat":46.495,"lon":7.255)"))["declination"];
  EXPECT_NE(rounded, near) << "the columns are what counts";
  EXPECT_NEAR(rounded.get<double>(), near.get<double>(), 0.01);
  for (const std::string far : {R"("lat":-40,"lon":175)", R"("place":"40S 175E")"})
    EXPECT_EQ(properties(with(far))["checks"][0], "contradiction") << far;
  EXPECT_EQ(properties(with(R"("place":"","lat":null,"lon":" ")"))["declination"], near);
  EXPECT_EQ(with(R"("lat":-40)").summary.refused, 1U) << "half a place is none, whatever the point says";
}

TEST(GeoJson, SwappedCoordinatesAreToldWithTheirOrder) {
  const Batch swapped = geojson(collection(feature(R"({"type":"Point","coordinates":[42.283,-171.35]})", kColumns)));
  EXPECT_EQ(swapped.summary.refused, 1U);
  EXPECT_NE(properties(swapped)["remark"].get<std::string>().find("longitude first"), std::string::npos);
}

TEST(GeoJson, OtherShapesGiveNoPlace) {
  for (const std::string geometry :
       {"null", R"({"type":"LineString","coordinates":[[7,46],[8,47]]})", R"({"type":"Point","coordinates":[7]})",
        R"({"type":"Point","coordinates":["7","46"]})", R"(["type","Point","coordinates",[7,46]])", R"("")", "3"}) {
    const Batch result = geojson(collection(feature(geometry, kColumns)));
    EXPECT_EQ(result.code(), "none") << geometry;
    EXPECT_EQ(result.summary.refused, 1U) << geometry;
    EXPECT_FALSE(nlohmann::json::parse(result.out, nullptr, false).is_discarded()) << geometry;
  }
}

TEST(GeoJson, PropertiesNullMissingOrTwice) {
  const Batch null = geojson(collection(feature(R"({"type":"Point","coordinates":[7,46]})", "null")));
  EXPECT_EQ(properties(null)["status"], "refused");
  for (const std::string bad : {R"({"type":"Feature","geometry":null})", R"({"type":"Feature","properties":3})", "7",
                                R"({"type":"Feature","geometry":null,"properties":{},"properties":{}})"}) {
    const Batch result = geojson(collection(bad));
    EXPECT_EQ(result.summary.refused, 1U) << bad;
    EXPECT_EQ(properties(result)["raw_row"], bad);
  }
}

TEST(GeoJson, OnlyCollections) {
  EXPECT_EQ(geojson(feature("null", kColumns)).code(), "file-malformed");
  EXPECT_EQ(geojson(R"({"type":"FeatureCollection"})").code(), "columns-missing");
}

TEST(GeoJson, ToNdjsonOneFeatureALine) {
  const Batch result =
      run(collection("\n " + feature("null", "{\n}") + ",\n" + feature("null", "{}")), Format::geojson, Format::ndjson);
  const auto lines = split(result.out, '\n');
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_EQ(nlohmann::json::parse(lines[0])["properties"]["status"], "refused");
}

}  // namespace
}  // namespace agonic::exchange
