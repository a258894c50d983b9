// The topology of lines, on surfaces whose lines are known from school: circles, straight lines, a saddle.
#include "model/chart/contour.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

namespace agonic::chart {
namespace {

constexpr std::size_t kSide = 21;

std::vector<Chain> trace(const std::function<double(double, double)>& surface) {
  std::vector<double> value;
  for (std::size_t row = 0; row < kSide; ++row)
    for (std::size_t column = 0; column < kSide; ++column)
      value.push_back(surface(static_cast<double>(column) - 10, static_cast<double>(row) - 10));
  std::vector<Chain> out;
  Contourer(kSide, kSide).trace(value, out);
  return out;
}
double x(const Edge& edge) { return static_cast<double>(edge.from % kSide + edge.to % kSide) / 2 - 10; }
double y(const Edge& edge) { return static_cast<double>(edge.from / kSide + edge.to / kSide) / 2 - 10; }

TEST(Contour, GoesRoundACircleOnceWithTheInsideOnTheLeft) {
  const auto chains = trace([](double x, double y) { return 40.5 - x * x - y * y; });
  ASSERT_EQ(chains.size(), 1U);
  EXPECT_TRUE(chains[0].closed);
  double area = 0;
  const auto& edges = chains[0].edges;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    const Edge& a = edges[i];
    const Edge& b = edges[(i + 1) % edges.size()];
    EXPECT_LE(std::hypot(x(a) - x(b), y(a) - y(b)), 1.01);  // from edge to edge of one cell
    area += (x(a) * y(b) - x(b) * y(a)) / 2;
  }
  EXPECT_NEAR(area, 3.14159 * 40.5, 6);  // counterclockwise
}

TEST(Contour, RunsFromEdgeToEdge) {
  const auto chains = trace([](double x, double y) { return x + 0.3 * y - 0.05; });
  ASSERT_EQ(chains.size(), 1U);
  EXPECT_FALSE(chains[0].closed);
  EXPECT_EQ(std::fabs(y(chains[0].edges.front())), 10);
  EXPECT_EQ(std::fabs(y(chains[0].edges.back())), 10);
  EXPECT_LT(y(chains[0].edges.back()), 0);  // to the south: the positive east lies on its left
}

TEST(Contour, KeepsTheBranchesOfASaddleApart) {
  for (const double lift : {0.1, -0.1}) {
    const auto chains = trace([&](double x, double y) { return (x - 0.5) * (y - 0.5) + lift; });
    ASSERT_EQ(chains.size(), 2U);
    // Each branch stays in its own quadrant: the product of the coordinates has the sign of -lift along it.
    for (const Chain& chain : chains) {
      for (const Edge& edge : chain.edges) {
        if (std::hypot(x(edge) - 0.5, y(edge) - 0.5) <= 1) continue;
        EXPECT_LE((x(edge) - 0.5) * (y(edge) - 0.5) * lift, 0);
      }
    }
  }
}

TEST(Contour, IsEmptyWhereNothingChangesSign) {
  EXPECT_TRUE(trace([](double, double) { return 1.0; }).empty());
  EXPECT_TRUE(trace([](double, double) { return 0.0; }).empty());
  EXPECT_TRUE(trace([](double, double) { return -1.0; }).empty());
}

}  // namespace
}  // namespace agonic::chart
