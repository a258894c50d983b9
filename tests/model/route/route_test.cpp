// Routes against published declinations, and against what geometry says.
#include <cmath>

#include "model/units/angle.hpp"
#include "tests/model/reference_rows.hpp"
#include "tests/model/route/route_fixture.hpp"

namespace agonic::route {
namespace {

TEST_F(RouteTest, StopsOnPublishedPointsHaveTheirDeclination) {
  // Documentation of a general numerical package (see the table).
  const auto published = reference_rows("wmm2025_example.txt").front();
  const Json one = json("lat,lon,height_m,date\n42.283,-71.35,1000,2028-07-04\n");
  EXPECT_NEAR(one["stops"][0]["declination"].get<double>(), std::stod(published[7]), 0.00005);
  // igrf14 at observatories, worked independently (see the table).
  const auto rows = reference_rows("igrf14_observatories.txt");
  std::string csv = "id,lat,lon,height_m,date\n";
  for (const auto& row : rows)
    csv += row[0] + "," + row[3] + "," + row[4] + "," + std::to_string(std::stod(row[2]) * 1000) + "," + row[1] + "\n";
  const Json all = json(csv, {{"model", "igrf14"}});
  for (std::size_t i = 0; i < rows.size(); ++i)
    EXPECT_NEAR(all["stops"][i]["declination"].get<double>(), std::stod(rows[i][6]), std::stod(rows[i][7]))
        << rows[i][0];
}

TEST_F(RouteTest, DatesOnBothSidesOfAJoinUseTheirOwnModels) {
  const Json route = json("place,date\n46.5 7.25,1899.9\n46.5 7.25,1900.1\n46.5 7.25,2024.9\n46.5 7.25,2025.1\n");
  const auto model = [&](std::size_t i) { return route["stops"][i]["model"].get<std::string>(); };
  EXPECT_EQ(model(0), "gufm1");
  EXPECT_EQ(model(1), "igrf14");
  EXPECT_EQ(model(2), "igrf14");
  EXPECT_EQ(model(3), "wmm2025");
  EXPECT_TRUE(noted(route, "models-joined"));
  EXPECT_GT(route["settings"].size(), 1u);
  // A leg over the join is walked through, and every sample has a declination.
  const Json legs = json("place,date\n46.5 7.25,2024-06-01\n46.6 7.25,2025-06-01\n", {{"legs", "yes"}});
  EXPECT_GT(legs["along"].size(), 2u);
}

TEST_F(RouteTest, AcrossTheAntimeridianTheWayIsShort) {
  // One degree of the WGS84 equator is 6378.137 km * pi / 180 = 111.319 km.
  const Json route = json("lat,lon\n0,179.5\n0,-179.5\n", {{"date", "2026-06-15"}, {"legs", "yes"}});
  EXPECT_NEAR(route["route"]["length_km"].get<double>(), 111.319, 0.001);
  for (const auto& at : route["along"]) {
    EXPECT_GE(std::abs(at["lon_deg"].get<double>()), 179.4999);
    EXPECT_NEAR(at["lat_deg"].get<double>(), 0, 1e-9);
  }
}

TEST_F(RouteTest, AcrossThePoleTheNeedleIsWeakAndNothingBreaks) {
  const Json route = json("lat,lon\n84,20\n84,-160\n", {{"date", "2026-06-15"}, {"legs", "yes"}});
  // Twice the meridian from 84 to 90 north: 111.694 km a degree near the pole (WGS84, a(1-e2)/(1-e2)^1.5).
  EXPECT_NEAR(route["route"]["length_km"].get<double>(), 12 * 111.69, 0.5);
  EXPECT_FALSE(route["needle_zones"].empty());
  EXPECT_TRUE(noted(route, "hold-level"));
  for (const auto& at : route["along"]) EXPECT_TRUE(at["declination_deg"].is_number());
}

TEST_F(RouteTest, AtTheDipPoleThereIsNoSettingAndTheEntryIsToldWithinAKilometre) {
  // WMM2025 dip pole of 2025.0: 85.762 N 139.298 E (value from memory).
  const std::string csv = "lat,lon,date\n70,139.298,2025-01-01\n85.762,139.298,2025-01-01\n";
  const Json route = json(csv, {{"legs", "yes"}, {"model", "wmm2025"}});
  EXPECT_TRUE(route["stops"][1]["set_to"].is_null());
  EXPECT_EQ(route["stops"][1]["needle"], "unusable");
  ASSERT_EQ(route["needle_zones"].size(), 2u);
  EXPECT_EQ(route["needle_zones"][0]["needle"], "caution");
  EXPECT_EQ(route["needle_zones"][1]["needle"], "unusable");
  const double entry = route["needle_zones"][0]["from_km"], blackout = route["needle_zones"][1]["from_km"];
  double before_entry = 0, before_blackout = 0, h_entry = 0, h_blackout = 0;
  for (const auto& at : route["along"]) {
    const double km = at["km"], h = at["horizontal_nt"];
    if (km < entry) before_entry = km;
    if (km < blackout) before_blackout = km;
    EXPECT_GE(h, km < entry ? 6000 : km < blackout ? 2000 : 0);
    if (km == entry) h_entry = h;
    if (km == blackout) h_blackout = h;
  }
  EXPECT_LT(h_entry, 6000);
  EXPECT_LT(h_blackout, 2000);
  EXPECT_LE(entry - before_entry, 1.0);
  EXPECT_LE(blackout - before_blackout, 1.0);
  EXPECT_TRUE(noted(route, "needle-unusable"));
  const Json forced = json(csv, {{"legs", "yes"}, {"model", "wmm2025"}, {"force_unusable", "yes"}});
  EXPECT_TRUE(forced["stops"][1]["set_to"].is_number() || noted(forced, "declination-jumps"));
}

TEST_F(RouteTest, AllAlongTheLegsTheSettingsAreWithinTheTolerance) {
  for (const double tolerance : {0.5, 0.62, 1.5}) {
    const Json route = json("lat,lon,date\n64.1,-21.9,2026-06-01\n61.2,-45.4,2026-06-20\n48.5,-123.4,2026-08-01\n",
                            {{"legs", "yes"}, {"tolerance", std::to_string(tolerance)}});
    ASSERT_GT(route["settings"].size(), 3u);
    EXPECT_FALSE(noted(route, "declination-jumps"));
    double km = 0;
    for (const auto& setting : route["settings"]) {
      EXPECT_EQ(setting["from_km"].get<double>(), km) << "no gap and no overlap";
      km = setting["to_km"];
      for (const auto& at : route["along"]) {
        const double here = at["km"];
        if (here < setting["from_km"].get<double>() || here > km) continue;
        EXPECT_LE(std::abs(wrap_180(at["declination_deg"].get<double>() - setting["set_to_deg"].get<double>())),
                  tolerance + 1e-8);
      }
    }
    EXPECT_EQ(km, route["route"]["length_km"].get<double>());
    // Between neighbouring samples the declination hardly bends: half-way it is the mean of both ends.
    const auto& along = route["along"];
    for (std::size_t i = 1; i < along.size(); ++i)
      EXPECT_LE(
          std::abs(wrap_180(along[i]["declination_deg"].get<double>() - along[i - 1]["declination_deg"].get<double>())),
          0.1 * tolerance + 1e-9);
  }
}

TEST_F(RouteTest, EveryStopMayBeWrongByItself) {
  const Json route = json(
      "id,lat,lon,date,note\na,46.5,7.25,2026-06-15,x\nb,46.5,7.25,,y\nc,96.5,7.25,2026-06-15,z\n"
      "d,46.5,7.25,03/04/2026,\ne,46.5,7.25,2126-06-15,\nf,46.6,7.25,2026-06-16,\n");
  const auto& stops = route["stops"];
  ASSERT_EQ(stops.size(), 6u);
  EXPECT_EQ(stops[0]["status"], "done");
  EXPECT_EQ(stops[0]["note"], "x");
  for (std::size_t i = 1; i < 5; ++i) {
    EXPECT_EQ(stops[i]["status"], "refused") << i;
    EXPECT_TRUE(stops[i]["declination"].is_null());
    EXPECT_FALSE(stops[i]["remark"].get<std::string>().empty());
  }
  EXPECT_NE(stops[1]["remark"].get<std::string>().find("date"), std::string::npos);
  EXPECT_EQ(stops[5]["status"], "done");
  EXPECT_EQ(route["route"]["refused"], 4);
  EXPECT_TRUE(noted(route, "stops-refused"));
  // With a default the missing date is none; a stop's own date stands.
  const Json dated = json("lat,lon,date\n46.5,7.25,\n46.5,7.25,1950-01-02\n", {{"date", "2026-06-15"}});
  EXPECT_EQ(dated["stops"][0]["date_used"], "2026-06-15");
  EXPECT_EQ(dated["stops"][1]["model"], "igrf14");
  EXPECT_EQ(problem(FormatIn::csv, "lat,lon\n46.5,7.25\n").code, Code::date_missing);
}

TEST_F(RouteTest, TheSameStopsComeInFourFormats) {
  const Json csv = json("name,lat,lon,height_m,date\nA,46.5,7.25,900,2026-06-15\nB,47.5,8.25,400,2026-06-16\n");
  const Json json_in = json(FormatIn::json, R"({"stops":[
      {"name":"A","lat":46.5,"lon":7.25,"height_m":900,"date":"2026-06-15"},
      {"name":"B","lat":47.5,"lon":8.25,"height_m":400,"date":"2026-06-16","x":[1]}],"legs":false})");
  const Json points = json(FormatIn::geojson, R"({"type":"FeatureCollection","features":[
      {"type":"Feature","properties":{"name":"A","date":"2026-06-15"},
       "geometry":{"type":"Point","coordinates":[7.25,46.5,900]}},
      {"type":"Feature","properties":{"name":"B","date":"2026-06-16","x":[1]},
       "geometry":{"type":"Point","coordinates":[8.25,47.5,400]}}]})");
  const Json line = json(FormatIn::geojson, R"({"type":"Feature","properties":{"dates":["2026-06-15","2026-06-16"]},
      "geometry":{"type":"LineString","coordinates":[[7.25,46.5,900],[8.25,47.5,400]]}})");
  const Json gpx = json(FormatIn::gpx, R"(<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><rte>
      <rtept lat="46.5" lon="7.25"><ele>900</ele><time>2026-06-15T00:00:00Z</time><name>A</name></rtept>
      <rtept lat="47.5" lon="8.25"><ele>400</ele><time>2026-06-16T00:00:00Z</time><name>B</name></rtept></rte></gpx>)");
  for (const Json* other : {&json_in, &points, &line, &gpx})
    for (std::size_t i = 0; i < 2; ++i)
      EXPECT_EQ((*other)["stops"][i]["declination"], csv["stops"][i]["declination"]) << other->dump();
  EXPECT_EQ(json_in["stops"][1]["x"], Json::array({1})) << "what is not read passes through";
  EXPECT_EQ(points["stops"][1]["x"], Json::array({1}));
}

TEST_F(RouteTest, AGpxFileWithSeveralPartsIsAskedWhichOneIsMeant) {
  const std::string both = R"(<gpx><wpt lat="1" lon="2"/><trk><trkseg><trkpt lat="3" lon="4"/></trkseg></trk></gpx>)";
  const Problem asked = problem(FormatIn::gpx, both, {{"date", "2026-06-15"}});
  EXPECT_EQ(asked.field, "gpx_part");
  EXPECT_NE(asked.message.find("waypoints (1 points), track (1 points)"), std::string::npos) << asked.message;
  const Json track = json(FormatIn::gpx, both, {{"date", "2026-06-15"}, {"gpx_part", "track"}});
  EXPECT_EQ(track["stops"][0]["lat"], "3");
  EXPECT_EQ(problem(FormatIn::gpx, both, {{"gpx_part", "route"}}).code, Code::missing_value);
}

TEST_F(RouteTest, WhatCannotBeIsRefusedWithARemedy) {
  const std::string csv = "lat,lon,date\n46.5,7.25,2026-06-15\n";
  EXPECT_EQ(problem(FormatIn::csv, csv, {{"tolerance", "0.4"}}).code, Code::contradiction)
      << "half a graduation is least";
  EXPECT_EQ(problem(FormatIn::csv, csv, {{"tolerance", "46"}}).code, Code::out_of_range);
  EXPECT_EQ(problem(FormatIn::csv, csv, {{"tolerance", "nan"}}).code, Code::not_a_number);
  EXPECT_EQ(problem(FormatIn::csv, csv, {{"graduation", "0.7"}}).code, Code::out_of_range) << "360 is no multiple";
  EXPECT_EQ(problem(FormatIn::csv, csv, {{"legs", "perhaps"}}).code, Code::unknown_name);
  EXPECT_EQ(problem(FormatIn::csv, csv, {{"tolerence", "1"}}).code, Code::unknown_name);
  EXPECT_EQ(problem(FormatIn::csv, csv, {{"model", "wmm1066"}}).code, Code::model_unknown);
  EXPECT_EQ(problem(FormatIn::csv, "Lat,lon,date\n46.5,7.25,2026-06-15\n").code, Code::unknown_name);
  EXPECT_EQ(problem(FormatIn::csv, "x,date\n46.5,2026-06-15\n").code, Code::columns_missing);
  EXPECT_EQ(problem(FormatIn::csv, "lat,lon,date\n").code, Code::missing_value);
  EXPECT_EQ(problem(FormatIn::csv, "lat,lon,date,needle\n46.5,7.25,2026-06-15,y\n").code, Code::name_taken);
  EXPECT_EQ(problem(FormatIn::json, R"({"stops":[{"lat":46.5,"lon":7.25,"date":2026}]})").code, Code::date_unreadable);
  EXPECT_EQ(problem(FormatIn::geojson, R"({"type":"Feature","properties":{"date":2026.5},"geometry":
      {"type":"Point","coordinates":[7,46]}})")
                .code,
            Code::date_unreadable);
  EXPECT_EQ(problem(FormatIn::geojson, "[1]").code, Code::file_malformed);
  EXPECT_EQ(problem(FormatIn::geojson, std::string(100000, '[')).code, Code::file_malformed);
  EXPECT_EQ(problem(FormatIn::geojson, R"({"type":"Feature","properties":{"dates":["2026"]},"geometry":
      {"type":"LineString","coordinates":[[7,46],[8,46]]}})")
                .code,
            Code::file_malformed);
  EXPECT_EQ(problem(FormatIn::geojson, R"({"type":"Feature","properties":{"lat":1,"date":"2026"},"geometry":
      {"type":"Point","coordinates":[7,46]}})")
                .code,
            Code::contradiction);
  std::string far = "lat,lon,date\n";
  for (int i = 0; i < 200; ++i) far += i % 2 == 0 ? "0,0,2026-06-15\n" : "1,179,2026-06-15\n";
  EXPECT_EQ(problem(FormatIn::csv, far, {{"legs", "yes"}, {"model", "wmmhr2025"}}).code, Code::too_large);
}

TEST_F(RouteTest, APersonReadsWhatToDo) {
  const std::string said =
      text("name,lat,lon,date\nHut,64.1,-21.9,2026-06-01\nCol,64.6,-18.0,2026-06-04\nCamp,64.9,-14.0,2026-06-09\n");
  for (const char* piece :
       {"3 stops", "One setting for all: ", "W (-", "turned counterclockwise", "it is set backwards",
        "Within 0.5 (half a graduation) at every stop", "with fewer it cannot be done", "Hut", "left over", "* ",
        "1-sigma", "wmm2025", "legs", "local rock"})
    EXPECT_NE(said.find(piece), std::string::npos) << piece << "\n" << said;
  const std::string fixed = text("lat,lon,date\n64.1,-21.9,2026-06-01\n", {{"circle", "fixed"}});
  EXPECT_NE(fixed.find("One sum for all: subtract"), std::string::npos) << fixed;
  EXPECT_EQ(fixed.find("Along the needle"), std::string::npos) << fixed;
}

TEST_F(RouteTest, DatesThatGoBackAndInclinationsThatPartAreAskedAbout) {
  const Json route = json("lat,lon,date\n60,10,2026-06-15\n-30,20,2026-06-01\n");
  EXPECT_TRUE(noted(route, "dates-backwards"));
  EXPECT_TRUE(noted(route, "needle-balance"));
  EXPECT_TRUE(noted(route, "declination-spread"));
  EXPECT_TRUE(noted(route, "legs-not-looked-at"));
  EXPECT_LT(route["route"]["inclination_low_deg"].get<double>(), 0);
}

TEST_F(RouteTest, TheProfileIsADrawing) {
  const auto svg = ask(FormatIn::csv, FormatOut::svg, "id,lat,lon\n<b>&,64.1,-21.9\nB,61.2,-45.4\n",
                       {{"date", "2026-06-15"}, {"legs", "yes"}});
  ASSERT_TRUE(svg) << svg.problem().text();
  EXPECT_NE(svg->body.find("<svg"), std::string::npos);
  EXPECT_EQ(svg->body.find("<b>&,"), std::string::npos) << "names are escaped";
  EXPECT_NE(svg->body.find("&lt;b&gt;"), std::string::npos);
  EXPECT_TRUE(ask(FormatIn::csv, FormatOut::svg, "lat,lon\n64.1,-21.9\n", {{"date", "2026"}})) << "one stop alone";
}

}  // namespace
}  // namespace agonic::route
