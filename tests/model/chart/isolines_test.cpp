// Lines against published values: check tables of the models, dip poles, years in which the agonic line passed a town.
#include "model/chart/isolines.hpp"

#include <cmath>

#include "model/units/angle.hpp"
#include "tests/model/chart/chart_fixture.hpp"
#include "tests/model/reference_rows.hpp"

namespace agonic::chart {
namespace {

double number(const std::map<std::string, std::string>& row, const std::string& name) {
  return std::stod(row.at(name));
}

// Check values of the WMM2025, WMMHR2025 and WMM2020 reports, printed to 0.01 degree: D of each lies between the lines
// on both sides of the place.
TEST(Isolines, LieOnBothSidesOfPublishedDeclinations) {
  int compared = 0;
  for (const char* model : {"wmm2025", "wmm2020"}) {
    for (const auto& row : check_rows(std::string(model) + "/check_values.txt")) {
      const double lat = number(row, "lat"), lon = wrap_180(number(row, "lon")), d = number(row, "declination_deg");
      if (std::fabs(lat) > 85) continue;
      const auto text = [](double value) { return std::to_string(value); };
      const Chart made = chart_of({{"date", row.at("date")},
                                   {"model", model},
                                   {"height_m", text(1000 * number(row, "height_km"))},
                                   {"bbox", text(wrap_180(lon - 4)) + "," + text(lat - 1.9) + "," +
                                                text(wrap_180(lon + 4)) + "," + text(lat + 2.1)},
                                   {"interval", "0.25"}});
      const auto crossings = on_parallel(lines_of(made), lat);
      double west = NAN, east = NAN;
      for (const auto& [at, level] : crossings) {
        if (at <= lon) west = level;
        if (at > lon && std::isnan(east)) east = level;
      }
      if (std::isnan(west) || std::isnan(east)) continue;
      ++compared;
      // Between two lines of one level D has its least or most along the parallel.
      const double printed = half_unit(row.at("declination_deg")) + (west == east ? 0.25 : 0);
      EXPECT_GE(d, std::min(west, east) - printed) << model << ' ' << lat << ' ' << lon;
      EXPECT_LE(d, std::max(west, east) + printed) << model << ' ' << lat << ' ' << lon;
      EXPECT_LE(std::fabs(west - east), 0.2501);
    }
  }
  EXPECT_GE(compared, 12);
}

TEST(Isolines, HaveTheirVerticesOnThemselves) {
  for (const char* quantity :
       {"declination", "declination_change", "declination_sigma", "declination_95", "horizontal", "inclination"}) {
    for (const char* date : {"1600", "1899.5", "2026-07-01"}) {
      const Chart made = chart_of({{"date", date}, {"quantity", quantity}});
      std::size_t vertices = 0;
      for (const Line& line : lines_of(made)) {
        std::vector<double> lat, lon;
        for (const Vertex& vertex : line.points) {
          lat.push_back(vertex.lat_deg);
          lon.push_back(vertex.lon_deg);
        }
        Samples samples;
        sample_points(made.source, lat, lon, samples);
        for (std::size_t i = 0; i < lat.size(); ++i) {
          const Sample sample = at(samples, i);
          if (sample.horizontal() < 100) continue;  // where all lines of D meet
          double off = value(made.source, made.query.quantity, sample) - line.level;
          if (made.query.quantity == Quantity::declination) off = wrap_180(off);
          EXPECT_LE(std::fabs(off), line_accuracy(made.query.quantity) * 1.001)
              << quantity << ' ' << date << ' ' << lat[i] << ' ' << lon[i];
          ++vertices;
        }
      }
      EXPECT_GT(vertices, 500U) << quantity << ' ' << date;
    }
  }
}

// At a magnetic pole all declinations meet: lines that end inside of the box end there. Positions: IGRF dip poles as
// published with the model (coefficients/igrf14/dip_poles.txt, 0.01 degree), and those of WMM2025 at 2025.0 (from
// memory).
TEST(Isolines, EndAtPublishedDipPoles) {
  for (const std::string model : {"igrf14", "wmm2025"}) {
    for (const auto& row : check_rows(model + "/dip_poles.txt")) {
      const double lat = number(row, "lat"), lon = number(row, "lon");
      const Chart made =
          chart_of({{"date", row.at("date")},
                    {"model", model},
                    {"bbox", std::to_string(lon - 9.3) + "," + std::to_string(lat - 4.1) + "," +
                                 std::to_string(lon + 8.7) + "," + std::to_string(std::min(90.0, lat + 3.9))},
                    {"interval", "10"}});
      int ends = 0;
      std::vector<double> levels;
      for (const Line& line : lines_of(made)) {
        for (const Vertex end : {line.points.front(), line.points.back()}) {
          const auto& part = made.sheets.front().part;
          const bool edge = end.lat_deg == part.lat_deg.front() || end.lat_deg == part.lat_deg.back() ||
                            end.lon_deg == part.lon_deg.front() || end.lon_deg == part.lon_deg.back();
          if (line.closed || edge) continue;
          EXPECT_NEAR(end.lat_deg, lat, 0.02) << model << row.at("date");
          EXPECT_NEAR(end.lon_deg, lon, 0.02 / std::cos(lat * 0.01745)) << model << row.at("date");
          levels.push_back(line.level);
          ++ends;
        }
      }
      EXPECT_EQ(ends, 36) << model << ' ' << row.at("date") << ' ' << lat;  // each of the 36 lines once
      std::sort(levels.begin(), levels.end());
      EXPECT_TRUE(std::adjacent_find(levels.begin(), levels.end()) == levels.end());
    }
  }
}

// No line runs across the jump of D from 180 to -180, nor along a meridian to somewhere else: neighbouring vertices of
// the world's lines lie in one cell of the grid.
TEST(Isolines, NeverLeapAcrossTheMap) {
  for (const char* date : {"1600", "1750", "1900-06-01", "2026-07-01"}) {
    const Chart made = chart_of({{"date", date}, {"interval", "5"}});
    for (const Line& line : lines_of(made)) {
      for (std::size_t i = 1; i < line.points.size(); ++i) {
        const Vertex a = line.points[i - 1], b = line.points[i];
        EXPECT_LE(std::fabs(a.lon_deg - b.lon_deg), 2.0000001) << date << ' ' << line.level;
        EXPECT_LE(std::fabs(a.lat_deg - b.lat_deg), 2.0000001) << date << ' ' << line.level;
      }
    }
  }
}

// At a geographic pole D takes every value once as the meridian goes round: each level reaches both pole rows once.
TEST(Isolines, ConvergeAtTheGeographicPoles) {
  const Chart made = chart_of({{"date", "2026-07-01"}, {"interval", "30"}});
  for (const double pole : {-90.0, 90.0}) {
    std::map<double, int> ends;
    for (const Line& line : lines_of(made)) {
      for (const Vertex end : {line.points.front(), line.points.back()})
        if (end.lat_deg == pole) ++ends[line.level];
    }
    EXPECT_EQ(ends.size(), 12U);
    for (const auto& [level, count] : ends) EXPECT_EQ(count, 1) << level << ' ' << pole;
  }
}

// State of the Geomagnetic Field reports and observatory notes: the agonic line crossed Chambon-la-Foret in October or
// November 2013 (Mandea and Le Mouel 2016) and Greenwich in 2019 (Brown 2019); on the other sides of these dates it
// lies to the other side.
TEST(Isolines, CarryTheAgonicLinePastTownsInTheYearsThatArePublished) {
  const auto agonic_lon = [](const std::string& date, double lat, double lon) {
    const Chart made = chart_of({{"date", date},
                                 {"bbox", std::to_string(lon - 10) + "," + std::to_string(lat - 3) + "," +
                                              std::to_string(lon + 10) + "," + std::to_string(lat + 3.01)},
                                 {"interval", "1"}});
    for (const auto& [at, level] : on_parallel(lines_of(made), lat))
      if (level == 0) return at;
    return std::nan("");
  };
  EXPECT_GT(agonic_lon("2012-01-01", 48.017, 2.267), 2.267);
  EXPECT_LT(agonic_lon("2015-06-01", 48.017, 2.267), 2.267);
  EXPECT_GT(agonic_lon("2017-06-01", 51.478, 0), 0);
  EXPECT_LT(agonic_lon("2021-06-01", 51.478, 0), 0);
}

// Observed declinations before 1900 (tests/reference/gufm1_observed.txt): the lines on both sides, its tolerance added.
TEST(Isolines, LieAboutOldObservations) {
  const std::string file = "gufm1_observed.txt";
  int compared = 0;
  for (const auto& row : reference_rows(file)) {
    const double year = std::stod(row[1]), lat = std::stod(row[3]), lon = wrap_180(std::stod(row[4]));
    const double d = std::stod(row[5]), tolerance = std::stod(row[6]);
    if (year >= 1900) continue;
    const Chart made = chart_of({{"date", row[1]},
                                 {"bbox", std::to_string(lon - 15) + "," + std::to_string(lat - 3) + "," +
                                              std::to_string(lon + 15) + "," + std::to_string(lat + 3.01)},
                                 {"interval", "0.5"}});
    double west = NAN, east = NAN;
    for (const auto& [at, level] : on_parallel(lines_of(made), lat)) {
      if (at <= lon) west = level;
      if (at > lon && std::isnan(east)) east = level;
    }
    if (std::isnan(west) || std::isnan(east)) continue;
    ++compared;
    EXPECT_GE(d, std::min(west, east) - tolerance) << row[0] << ' ' << lat << ' ' << lon;
    EXPECT_LE(d, std::max(west, east) + tolerance) << row[0] << ' ' << lat << ' ' << lon;
  }
  EXPECT_GE(compared, 10);
}

TEST(Isolines, QuickOnesLieNearTheExactOnes) {
  const Chart made = chart_of({{"date", "2026-07-01"}});
  const Sheet& sheet = made.sheets.front();
  const auto quick =
      isolines(made.source, sheet.part, sheet.samples, made.query.quantity, made.levels, Fineness::quick);
  ASSERT_TRUE(quick);
  std::size_t compared = 0, near = 0;
  for (std::size_t i = 0; i < std::min(quick->size(), sheet.lines.size()); ++i) {
    if ((*quick)[i].points.size() != sheet.lines[i].points.size()) continue;
    for (std::size_t k = 0; k < sheet.lines[i].points.size(); ++k, ++compared) {
      const Vertex a = (*quick)[i].points[k], b = sheet.lines[i].points[k];
      const double apart = std::max(std::fabs(a.lat_deg - b.lat_deg), std::fabs(a.lon_deg - b.lon_deg));
      EXPECT_LT(apart, 0.5);  // where a line all but runs along an edge
      near += apart < 0.02 ? 1 : 0;
    }
  }
  EXPECT_GT(compared, 3000U);
  EXPECT_GT(near, compared * 98 / 100);
}

TEST(Isolines, HaveLevelsThatAreWrittenAsTheyAre) {
  const Chart made = chart_of({{"date", "2026"}, {"bbox", "4,43,17,49"}, {"interval", "0.1"}});
  EXPECT_NE(std::find(made.levels.begin(), made.levels.end(), 3.3), made.levels.end());
  const Chart world = chart_of({{"date", "2026"}});
  EXPECT_EQ(world.levels.front(), -170);
  EXPECT_EQ(world.levels.back(), 180);
  EXPECT_EQ(world.levels.size(), 36U);
}

}  // namespace
}  // namespace agonic::chart
