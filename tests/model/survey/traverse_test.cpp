// Traverses: published exercises (the sources stand in the tables), and what an exercise does not show.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <random>
#include <stdexcept>

#include "model/reading/notation.hpp"
#include "model/survey/coordinates.hpp"
#include "model/survey/figure.hpp"
#include "model/units/angle.hpp"
#include "tests/model/reference_rows.hpp"

namespace agonic::survey {
namespace {

// 44.40, or N55.30E, of a table as degrees.
double degrees(std::string text) {
  const auto point = text.find('.');
  text.insert(point + 3, "'");
  return reading::parse_azimuth(text.replace(point, 1, "\u00B0"), reading::AzimuthUnit::deg, {})->degrees;
}

double apart(double a, double b) { return std::abs(wrap_180(a - b)); }

Leg leg(std::string from, std::string to, std::optional<double> fore, std::optional<double> back,
        std::optional<double> length = std::nullopt) {
  return {std::move(from), std::move(to), fore, back, length, 0};
}

struct Problem {
  std::vector<Leg> legs;
  std::vector<double> corrected;
};
std::map<std::string, Problem> problems() {
  std::map<std::string, Problem> out;
  for (const auto& row : reference_rows("traverse_lines.txt")) {
    out[row[0]].legs.push_back(leg(row[1], row[2], degrees(row[3]), degrees(row[4])));
    out[row[0]].corrected.push_back(degrees(row[5]));
  }
  return out;
}
const double kTolerance = reference_tolerance("traverse_lines.txt");

LocalAttraction attraction(const std::vector<Leg>& legs, AttractionRules rules = {}) {
  auto out = local_attraction(legs, rules);
  EXPECT_TRUE(out) << out.problem().text();
  return *out;
}

TEST(LocalAttraction, PublishedProblemsComeOut) {
  for (const auto& [name, problem] : problems()) {
    const auto found = attraction(problem.legs);
    EXPECT_EQ(found.tolerance_deg, name == "3" ? 0.5 : 0.25);  // problem 3 is read to half degrees
    EXPECT_TRUE(found.conflicts.empty());
    if (name == "4") continue;  // by angles, below
    for (std::size_t i = 0; i < problem.legs.size(); ++i) {
      EXPECT_LT(apart(*found.legs[i].azimuth_deg, problem.corrected[i]), kTolerance) << name << ' ' << i;
      EXPECT_LT(std::abs(*found.legs[i].leftover_deg), kTolerance);
      EXPECT_TRUE(found.legs[i].checked);
    }
    for (const auto& row : reference_rows("traverse_stations.txt")) {
      if (row[0] != name) continue;
      const Station* station = found.find(row[1]);
      EXPECT_NEAR(*station->correction_deg, std::stod(row[2]) / 60, kTolerance) << name << row[1];
      if (station->forward_deg && station->backward_deg) {
        EXPECT_NEAR(*station->forward_deg, *station->backward_deg, kTolerance);
      }
    }
  }
}

TEST(LocalAttraction, StationsComeInTheOrderOfTheNotebook) {
  std::string names;
  for (const Station& s : attraction(problems()["4"].legs).stations) names += s.name;
  EXPECT_EQ(names, "ABCDE");
}

TEST(LocalAttraction, FreeStationsAreFoundAndStated) {
  const auto found = attraction(problems()["1"].legs);
  std::string free;
  for (const Station& s : found.stations)
    if (s.state == StationState::free) free += s.name;
  EXPECT_EQ(free, "DE");
  EXPECT_EQ(found.legs[3].state, LegState::agrees);
  EXPECT_EQ(found.legs[0].state, LegState::differs);
}

TEST(LocalAttraction, WhatThePropagationLeavesIsReported) {
  // Problem 4: propagated both ways the corrections of a station differ by 30 minutes, and so does the last line.
  const auto problem = problems()["4"];
  const auto found = attraction(problem.legs, {0.02, {}});  // as the exercise: B and C alone are free
  for (const char* name : {"D", "E", "A"}) {
    const Station* s = found.find(name);
    EXPECT_NEAR(std::abs(*s->forward_deg - *s->backward_deg), 0.5, kTolerance) << name;
  }
  double left = 0;
  for (const LegFinding& l : found.legs) left += *l.leftover_deg;
  EXPECT_NEAR(left, -0.5, kTolerance);
  EXPECT_NEAR(closed_figure(problem.legs, found)->difference_sum_deg, -0.5, kTolerance);
}

TEST(ClosedFigure, PublishedAnglesComeOutAndAreAdjusted) {
  for (const auto& [name, problem] : problems()) {
    const auto found = attraction(problem.legs);
    const auto figure = closed_figure(problem.legs, found);
    ASSERT_EQ(figure.has_value(), name != "1");
    if (!figure) continue;
    ASSERT_TRUE(figure->adjusted);
    EXPECT_NEAR(figure->misclosure_deg, name == "4" ? 0.5 : 0, kTolerance);
    EXPECT_EQ(figure->should_be_deg, 180.0 * (static_cast<double>(problem.legs.size()) - 2));
    for (std::size_t i = 0; i < problem.legs.size(); ++i)
      EXPECT_LT(apart(figure->azimuths_deg[i], problem.corrected[i]), kTolerance) << name << ' ' << i;
    for (const auto& row : reference_rows("traverse_stations.txt")) {
      if (row[0] != name || row[3] == "-") continue;
      for (const IncludedAngle& angle : figure->angles)
        if (angle.station == row[1]) {
          EXPECT_NEAR(angle.read_deg, degrees(row[3]), kTolerance);
          EXPECT_NEAR(angle.adjusted_deg, degrees(row[4]), kTolerance);
        }
    }
  }
}

TEST(ClosedFigure, ClockwiseAndCounterclockwiseHaveTheSameInteriorAngles) {
  // The same square walked both ways: 180 (n - 2), common practice.
  for (const bool clockwise : {true, false}) {
    std::vector<Leg> legs;
    for (int i = 0; i < 4; ++i) {
      const double azimuth = wrap_360(20 + (clockwise ? 90.0 : -90.0) * i);
      legs.push_back(leg(std::string(1, static_cast<char>('A' + i)),
                         std::string(1, static_cast<char>('A' + (i + 1) % 4)), azimuth, wrap_360(azimuth + 180)));
    }
    const auto figure = closed_figure(legs, attraction(legs));
    EXPECT_EQ(figure->clockwise, clockwise);
    for (const auto& angle : figure->angles) EXPECT_NEAR(angle.read_deg, 90, 1e-9);
    EXPECT_NEAR(figure->misclosure_deg, 0, 1e-9);
  }
}

TEST(ClosedFigure, AnglesFarOffAreToldAndNotAdjusted) {
  auto legs = problems()["2"].legs;
  *legs[1].fore_deg += 10;
  const auto figure = closed_figure(legs, attraction(legs));
  EXPECT_NEAR(std::abs(figure->misclosure_deg), 10, 1e-9);
  EXPECT_FALSE(figure->adjusted);
  EXPECT_TRUE(figure->azimuths_deg.empty());
}

TEST(LocalAttraction, AConstantDifferenceIsTheNeedleAndNotThePlace) {
  // A bent needle gives a constant error in all bearings; average both ends (US Navy course 14069, page 13).
  std::vector<Leg> legs = problems()["2"].legs;
  const auto truth = problems()["2"].corrected;
  for (std::size_t i = 0; i < legs.size(); ++i) {
    legs[i].fore_deg = wrap_360(truth[i] + 1.5);
    legs[i].back_deg = wrap_360(truth[i] + 180 - 1.5);
  }
  const auto found = attraction(legs);
  ASSERT_TRUE(found.constant_difference_deg);
  EXPECT_NEAR(*found.constant_difference_deg, -3, 1e-9);
  EXPECT_FALSE(found.any_free());
  for (std::size_t i = 0; i < legs.size(); ++i) EXPECT_LT(apart(*found.legs[i].azimuth_deg, truth[i]), 1e-9);
  const auto figure = closed_figure(legs, found);
  EXPECT_NEAR(figure->misclosure_deg, 0, 1e-9);
  EXPECT_NEAR(figure->difference_sum_deg, -12, 1e-9);
  EXPECT_FALSE(attraction(problems()["4"].legs).constant_difference_deg);
}

TEST(LocalAttraction, WithoutAFreeStationNothingIsCorrected) {
  std::vector<Leg> legs{leg("A", "B", 10, 192), leg("B", "C", 50, 227)};
  const auto found = attraction(legs);
  EXPECT_FALSE(found.any_free());
  EXPECT_FALSE(found.legs[0].azimuth_deg);
  // Somebody who knows may say so.
  const auto declared = attraction(legs, {std::nullopt, {"B"}});
  EXPECT_EQ(declared.find("B")->state, StationState::declared);
  EXPECT_NEAR(*declared.legs[0].azimuth_deg, 12, 1e-9);
  EXPECT_NEAR(*declared.legs[1].azimuth_deg, 50, 1e-9);
  EXPECT_FALSE(local_attraction(legs, {std::nullopt, {"Q"}}));
}

TEST(LocalAttraction, ABackAzimuthThatWasReversedIsNotUsed) {
  // Fore and back within 5 degrees: the back azimuth looks reversed already.
  const std::vector<Leg> legs{leg("A", "B", 358, 2), leg("B", "C", 50, 230), leg("C", "D", 80, 86)};
  const auto found = attraction(legs);
  EXPECT_EQ(found.legs[0].state, LegState::reversed);
  EXPECT_NEAR(*found.legs[0].azimuth_deg, 358, 1e-9);  // the fore azimuth alone, unchecked
  EXPECT_FALSE(found.legs[0].checked);
  EXPECT_EQ(found.legs[2].state, LegState::differs);
}

TEST(LocalAttraction, TheToleranceIsTheDivisionSeen) {
  EXPECT_EQ(attraction({leg("A", "B", 10, 191)}).tolerance_deg, 1);
  EXPECT_EQ(attraction({leg("A", "B", 10.5, 191)}).tolerance_deg, 0.5);
  EXPECT_EQ(attraction({leg("A", "B", 10.2, 191)}).tolerance_deg, 0.25);
  EXPECT_EQ(attraction({leg("A", "B", 10.2, 191)}, {0.1, {}}).tolerance_deg, 0.1);
  EXPECT_FALSE(local_attraction(std::vector<Leg>{leg("A", "B", 10, 191)}, {0.0, {}}));
  EXPECT_FALSE(local_attraction({}, {}));
}

TEST(LocalAttraction, GroupsThatAgreeAloneAndNotTogetherAreTold) {
  // AB and BC agree, DE agrees, and CD says that D and E are 8 degrees off: one attraction on both, or CD misread.
  const std::vector<Leg> legs{leg("A", "B", 10, 190), leg("B", "C", 50, 230), leg("C", "D", 80, 268),
                              leg("D", "E", 120, 300)};
  const auto found = attraction(legs);
  ASSERT_EQ(found.conflicts.size(), 1u);
  EXPECT_EQ(found.conflicts[0].stations, (std::vector<std::string>{"D", "E"}));
  EXPECT_NEAR(found.conflicts[0].apart_deg, 8, 1e-9);
  EXPECT_NEAR(*found.find("D")->correction_deg, -8, 1e-9);
  EXPECT_EQ(found.find("A")->state, StationState::free);
}

TEST(LocalAttraction, ALineBetweenFreeStationsThatDiffersIsAMisreading) {
  const std::vector<Leg> legs{leg("A", "B", 10, 190), leg("B", "C", 50, 230), leg("C", "A", 210, 40)};
  EXPECT_EQ(attraction(legs).legs[2].state, LegState::misread);
  auto nearly = legs;
  nearly[2].back_deg = 32;  // 2 degrees at a tolerance of 1: the roundings of an honest reading
  EXPECT_EQ(attraction(nearly).legs[2].state, LegState::differs);
}

TEST(LocalAttraction, PlantedAttractionIsFoundInANetworkWithNoise) {
  // Seeded: 40 stations on a ring with chords, a fifth of them attracted by 3 to 12 degrees, readings to the degree.
  int good = 0, all = 0;
  for (unsigned seed = 1; seed <= 20; ++seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> angle(0, 360), size(3, 12), noise(-0.5, 0.5);
    std::vector<double> planted(40, 0);
    for (std::size_t i = 0; i < planted.size(); i += 5) planted[i] = size(random);
    std::vector<Leg> legs;
    const auto add = [&](std::size_t a, std::size_t b) {
      const double azimuth = angle(random);
      legs.push_back(leg("P" + std::to_string(a), "P" + std::to_string(b),
                         wrap_360(std::nearbyint(azimuth + planted[a] + noise(random))),
                         wrap_360(std::nearbyint(azimuth + 180 + planted[b] + noise(random)))));
    };
    for (std::size_t i = 0; i < 40; ++i) add(i, (i + 1) % 40), add(i, (i + 7) % 40);
    const auto found = attraction(legs);
    for (std::size_t i = 0; i < 40; ++i) {
      ++all;
      const Station* s = found.find("P" + std::to_string(i));
      good += std::abs(*s->correction_deg + planted[i]) < 1.5;
    }
  }
  EXPECT_GE(good, all * 95 / 100);
}

std::vector<std::optional<double>> fores(const std::vector<Leg>& legs) {
  std::vector<std::optional<double>> out;
  for (const Leg& l : legs) out.push_back(l.fore_deg);
  return out;
}

Coordinates worked(const std::vector<Leg>& legs, bool closed, const Precision& precision = {}) {
  auto out = coordinates(legs, fores(legs), closed, precision);
  if (!out || !out->has_value()) throw std::runtime_error("no coordinates");
  return std::move(**out);
}

TEST(Coordinates, AFigureThatClosesIsLeftAlone) {
  const std::vector<Leg> legs{leg("A", "B", 0, 180, 100), leg("B", "C", 90, 270, 50), leg("C", "D", 180, 0, 100),
                              leg("D", "A", 270, 90, 50)};
  const auto out = worked(legs, true);
  EXPECT_NEAR(out.misclosure_m, 0, 1e-9);
  const auto& c = out.stations[2];
  EXPECT_EQ(c.station, "C");
  for (const Point& p : {c.measured, *c.compass_rule, *c.least_squares}) {
    EXPECT_NEAR(p.east_m, 50, 1e-6);
    EXPECT_NEAR(p.north_m, 100, 1e-6);
  }
  EXPECT_EQ(out.redundancy, 2u);
  EXPECT_NEAR(out.unit_sigma.value(), 0, 1e-6);
}

TEST(Coordinates, TheCompassRuleSharesByLength) {
  // Common practice: each station takes the misclosure in proportion to the length up to it.
  const std::vector<Leg> legs{leg("A", "B", 0, 180, 100), leg("B", "C", 90, 270, 50), leg("C", "D", 180, 0, 97),
                              leg("D", "A", 270, 90, 53)};
  const auto out = worked(legs, true);
  EXPECT_NEAR(out.misclosure.east_m, -3, 1e-9);
  EXPECT_NEAR(out.misclosure.north_m, 3, 1e-9);
  EXPECT_NEAR(out.misclosure_m, std::sqrt(18.0), 1e-9);
  EXPECT_NEAR(out.stations[1].compass_rule->north_m, 99, 1e-9);
  EXPECT_NEAR(out.stations[1].compass_rule->east_m, 1, 1e-9);
  EXPECT_NEAR(out.stations[2].compass_rule->east_m, 51.5, 1e-9);
}

TEST(Coordinates, LeastSquaresIsTheCompassRuleWhereItsWeightsAreThose) {
  // Across and along a line alike, and alike for four nearly equal lines: both share the misclosure in four.
  const std::vector<Leg> legs{leg("A", "B", 30, 210, 100), leg("B", "C", 120, 300, 100), leg("C", "D", 210, 30, 102),
                              leg("D", "A", 300, 120, 100)};
  const auto out = worked(legs, true, {1.0, kDegree * 100});
  for (const auto& s : out.stations) {
    EXPECT_NEAR(s.compass_rule->east_m, s.least_squares->east_m, 0.02);
    EXPECT_NEAR(s.compass_rule->north_m, s.least_squares->north_m, 0.02);
  }
}

TEST(Coordinates, LeastSquaresIsNearerTheTruthInANetwork) {
  // Seeded noise of the size given: the unit sigma is about 1, and the coordinates are within a few sigma.
  double units = 0;
  for (unsigned seed = 1; seed <= 30; ++seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> noise(0, 1);
    std::vector<Leg> legs;
    const std::size_t n = 30;
    const auto spot = [&](std::size_t i) {
      const double t = 360.0 * static_cast<double>(i) / n;
      return std::pair{500 * sin_deg(t), 300 * cos_deg(t)};
    };
    const auto add = [&](std::size_t a, std::size_t b) {
      const double de = spot(b).first - spot(a).first, dn = spot(b).second - spot(a).second;
      const double azimuth = std::atan2(de, dn) / kDegree + 0.5 * noise(random);
      legs.push_back(leg(std::to_string(a), std::to_string(b), wrap_360(azimuth), std::nullopt,
                         std::hypot(de, dn) * (1 + 0.002 * noise(random))));
      legs.back().vertical_deg = 0;
    };
    for (std::size_t i = 0; i < n; ++i) add(i, (i + 1) % n), add(i, (i + 5) % n);
    const auto out = worked(legs, false);
    EXPECT_EQ(out.redundancy, 62u);
    units += out.unit_sigma.value();
    for (const auto& s : out.stations) {
      const auto at = spot(std::stoul(s.station));
      EXPECT_NEAR(s.least_squares->east_m, at.first - spot(0).first, 12);
      EXPECT_NEAR(s.least_squares->north_m, at.second - spot(0).second, 12);
    }
  }
  EXPECT_NEAR(units / 30, 1, 0.05);
}

TEST(Coordinates, InclinedLinesAreReducedAndRise) {
  std::vector<Leg> legs{leg("A", "B", 90, 270, 100)};
  legs[0].vertical_deg = 30;
  const auto out = worked(legs, false);
  EXPECT_NEAR(out.stations[1].measured.east_m, 100 * std::sqrt(3.0) / 2, 1e-9);
  EXPECT_NEAR(out.stations[1].measured.up_m, 50, 1e-9);
  EXPECT_FALSE(out.stations[1].least_squares);
  EXPECT_FALSE(coordinates(legs, fores(legs), false, {0, 1}));
  legs[0].length_m.reset();
  EXPECT_FALSE(coordinates(legs, fores(legs), false, {})->has_value());
}

}  // namespace
}  // namespace agonic::survey
