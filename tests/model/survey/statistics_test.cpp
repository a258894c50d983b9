#include "model/survey/statistics.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "model/reading/plane.hpp"
#include "model/units/angle.hpp"
#include "tests/model/reference_rows.hpp"

namespace agonic::survey {
namespace {

using reading::PlaneConvention;

double off(double a, double b) { return std::abs(wrap_180(a - b)); }

std::vector<double> numbers(const std::vector<std::string>& row, std::size_t from = 0) {
  std::vector<double> out;
  for (std::size_t i = from; i < row.size(); ++i) out.push_back(std::stod(row[i]));
  return out;
}

TEST(CircularMean, PublishedMeansComeOut) {
  const double tolerance = reference_tolerance("circular_means.txt");
  for (const auto& row : reference_rows("circular_means.txt")) {
    const auto mean = circular_mean(numbers(row, 2));
    ASSERT_TRUE(mean);
    EXPECT_LT(off(mean->mean_deg, std::stod(row[0])), tolerance);
    if (row[1] != "-") {
      EXPECT_NEAR(mean->resultant_length, std::stod(row[1]), 0.00005);
    }
  }
}

TEST(CircularMean, TheDeviationIsThatOfTheResultant) {
  // sqrt(-2 ln R), Mardia and Jupp; two directions 2a apart have R = cos a.
  const std::vector<double> two{350, 10};
  const auto mean = circular_mean(two);
  ASSERT_TRUE(mean);
  EXPECT_LT(off(mean->mean_deg, 0), 1e-12);
  EXPECT_NEAR(mean->standard_deviation_deg, std::sqrt(-2 * std::log(std::cos(10 * kDegree))) / kDegree, 1e-9);
  const std::vector<double> same{77, 77, 77};
  EXPECT_NEAR(circular_mean(same)->standard_deviation_deg, 0, 1e-6);
}

TEST(CircularMean, AxesAreMeantByDoubledAngles) {
  // A strike without a dip: 10 and 190 are one (common practice).
  const std::vector<double> axes{350, 190, 10, 170};
  const auto mean = axial_mean(axes);
  ASSERT_TRUE(mean);
  EXPECT_LT(std::min(off(mean->mean_deg, 0), off(mean->mean_deg, 180)), 1e-9);
  const std::vector<double> forty{40, 220, 40};
  EXPECT_NEAR(axial_mean(forty)->mean_deg, 40, 1e-9);
  EXPECT_NEAR(axial_mean(forty)->resultant_length, 1, 1e-12);
}

TEST(CircularMean, RefusesWhatHasNoMean) {
  EXPECT_FALSE(circular_mean({}));
  const std::vector<double> opposite{90, 270}, bad{1, std::numeric_limits<double>::quiet_NaN()}, across{0, 90};
  EXPECT_FALSE(circular_mean(opposite));
  EXPECT_TRUE(axial_mean(opposite));
  EXPECT_FALSE(axial_mean(across));
  EXPECT_FALSE(circular_mean(bad));
}

TEST(FisherMean, ThePublishedPolesComeOut) {
  const double tolerance = reference_tolerance("fisher_means.txt");
  for (const auto& row : reference_rows("fisher_means.txt")) {
    std::vector<Line> lines;
    for (std::size_t i = 5; i < row.size(); ++i)
      lines.push_back({std::stod(row[i]), std::stod(row[i].substr(row[i].find('/') + 1))});
    for (const double d : {0.0, 13.7}) {  // declination turns trends and nothing else
      auto turned = lines;
      for (Line& line : turned) line.trend_deg += d;
      const auto mean = fisher_mean(turned);
      ASSERT_TRUE(mean);
      EXPECT_LT(off(mean->mean.trend_deg, std::stod(row[0]) + d), tolerance);
      EXPECT_NEAR(mean->mean.plunge_deg, std::stod(row[1]), tolerance);
      EXPECT_NEAR(mean->resultant_length, std::stod(row[2]), 0.0005);
      EXPECT_NEAR(*mean->kappa, std::stod(row[3]), 0.005);
      EXPECT_NEAR(mean->cone_95_deg, std::stod(row[4]), 0.005);
    }
  }
  const std::vector<Line> one{{10, 20}}, same{{10, 20}, {10, 20}};
  EXPECT_FALSE(fisher_mean(one));
  EXPECT_FALSE(fisher_mean(same)->kappa);
  EXPECT_NEAR(fisher_mean(same)->cone_95_deg, 0, 1e-5);
}

TEST(Planes, PolesComeOut) {
  const double tolerance = reference_tolerance("planes_and_poles.txt");
  for (const auto& row : reference_rows("planes_and_poles.txt")) {
    const auto v = numbers(row);
    const Line line = pole({v[0], v[1]});
    EXPECT_LT(off(line.trend_deg, v[2]), tolerance);
    EXPECT_NEAR(line.plunge_deg, v[3], tolerance);
  }
}

TEST(Planes, RakesGoToLinesAndBack) {
  const double tolerance = reference_tolerance("planes_and_rakes.txt");
  for (const auto& row : reference_rows("planes_and_rakes.txt")) {
    const auto v = numbers(row);
    for (const double d : {0.0, 13.7}) {
      const auto line = reading::line_in_plane(v[0] + d, v[1], v[2]);
      EXPECT_LT(off(line.trend_deg, v[3] + d), tolerance);
      EXPECT_NEAR(line.plunge_deg, v[4], tolerance);
      EXPECT_NEAR(rake_of({v[0] + d, v[1]}, line.trend_deg), v[2], 1e-9);
    }
  }
  EXPECT_NEAR(rake_of({0, 45}, 270), 90, 1e-9);  // upward is taken by the other end
  EXPECT_NEAR(rake_of({0, 45}, 315), rake_of({0, 45}, 135), 1e-9);
}

TEST(Planes, ApparentDipsComeOut) {
  const double tolerance = reference_tolerance("apparent_dips.txt");
  for (const auto& row : reference_rows("apparent_dips.txt")) {
    const auto v = numbers(row);
    for (const double d : {0.0, 13.7}) {
      const auto plane = plane_through(Line{v[1] + d, v[0]}, Line{v[3] + d, v[2]});
      ASSERT_TRUE(plane);
      EXPECT_LT(off(plane->strike_deg, v[4] + d), tolerance);
      EXPECT_NEAR(plane->dip_deg, v[5], tolerance);
      EXPECT_NEAR(apparent_dip(*plane, v[1] + d), v[0], 1e-9);
      EXPECT_NEAR(*true_dip(plane->strike_deg, v[3] + d, v[2]), plane->dip_deg, 1e-9);
    }
  }
  EXPECT_FALSE(true_dip(30, 210, 5));
  EXPECT_FALSE(plane_through(Line{10, 20}, Line{10, 20}));
}

TEST(Planes, StriaeAndPointsComeOut) {
  const double tolerance = reference_tolerance("striae_and_points.txt");
  for (const auto& row : reference_rows("striae_and_points.txt")) {
    const auto v = numbers(row, 1);
    if (row[0] == "striae") {
      EXPECT_NEAR(apparent_dip({v[0], v[1]}, v[2]), v[3], tolerance);
      EXPECT_NEAR(rake_of({v[0], v[1]}, v[2]), v[4], tolerance);
    } else {
      const auto plane = plane_through({{{v[0], v[1], v[2]}, {v[3], v[4], v[5]}, {v[6], v[7], v[8]}}});
      ASSERT_TRUE(plane);
      EXPECT_LT(off(plane->strike_deg, v[9]), tolerance);
      EXPECT_NEAR(plane->dip_deg, v[10], tolerance);
    }
  }
  EXPECT_FALSE(plane_through({{{0, 0, 0}, {1, 1, 1}, {2, 2, 2}}}));
}

TEST(Planes, IntersectionsComeOutWithTheirUncertainty) {
  const double tolerance = reference_tolerance("plane_intersections.txt");
  for (const auto& row : reference_rows("plane_intersections.txt")) {
    const auto v = numbers(row);
    for (const double d : {0.0, 13.7}) {
      const Plane a{v[0] + d, v[1]}, b{v[2] + d, v[3]};
      const auto line = intersection(a, b);
      ASSERT_TRUE(line);
      EXPECT_LT(off(line->trend_deg, v[4] + d), tolerance);
      EXPECT_NEAR(line->plunge_deg, v[5], tolerance);
      EXPECT_NEAR(rake_of(a, line->trend_deg), v[6], tolerance);
      EXPECT_NEAR(rake_of(b, line->trend_deg), v[7], tolerance);
      // First-order propagation by differences over the four angles.
      double trend = 0, plunge = 0;
      for (const auto& [turn, sigma] : {std::pair<std::array<double, 4>, double>{{1, 0, 0, 0}, 4},
                                        {{0, 1, 0, 0}, 2},
                                        {{0, 0, 1, 0}, 4},
                                        {{0, 0, 0, 1}, 2}}) {
        const double h = 1e-4;
        const auto moved = intersection({a.strike_deg + h * turn[0], a.dip_deg + h * turn[1]},
                                        {b.strike_deg + h * turn[2], b.dip_deg + h * turn[3]});
        trend += std::pow(wrap_180(moved->trend_deg - line->trend_deg) / h * sigma, 2);
        plunge += std::pow((moved->plunge_deg - line->plunge_deg) / h * sigma, 2);
      }
      EXPECT_NEAR(std::sqrt(trend), v[8], tolerance);
      EXPECT_NEAR(std::sqrt(plunge), v[9], tolerance);
    }
  }
  EXPECT_FALSE(intersection({30, 40}, {30, 40}));
}

TEST(Planes, NotationsConvertAmongEachOther) {
  // Right hand: the dip is to the right of the strike (common practice; teaching material of the University of Sydney).
  const Plane plane{30, 50};
  EXPECT_EQ(azimuth_in(PlaneConvention::left_hand, plane), 210);
  EXPECT_EQ(azimuth_in(PlaneConvention::dip_direction, plane), 120);
  EXPECT_EQ(plane_text(PlaneConvention::right_hand, plane), "030/50");
  EXPECT_EQ(plane_text(PlaneConvention::dip_direction, plane), "120/50");
  EXPECT_EQ(plane_text(PlaneConvention::quadrant, plane), "N30E 50SE");
  EXPECT_EQ(plane_text(PlaneConvention::quadrant, {210, 5}), "N30E 05NW");
  EXPECT_EQ(plane_text(PlaneConvention::right_hand, {359.7, 9}), "000/09");
  for (const auto convention : {PlaneConvention::right_hand, PlaneConvention::left_hand, PlaneConvention::dip_direction,
                                PlaneConvention::quadrant})
    for (double strike = 0; strike < 360; strike += 7.5) {
      const Plane back = plane_of(convention, azimuth_in(convention, {strike, 33}), 33);
      EXPECT_EQ(back.strike_deg, strike);
      EXPECT_EQ(back.dip_deg, 33);
    }
}

}  // namespace
}  // namespace agonic::survey
