// What no drawing may hold; lengths of text; shapes.
#include "model/paper/drawing.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <functional>
#include <limits>

#include "tests/model/paper/paper_fixture.hpp"

namespace agonic::paper {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinite = std::numeric_limits<double>::infinity();

TEST(Drawing, IsRefusedWithAnythingImpossible) {
  EXPECT_FALSE(check(one_of_everything()));
  const auto path = [](Drawing& drawing) -> Path& { return std::get<Path>(drawing.elements[1]); };
  const auto label = [](Drawing& drawing) -> Label& { return std::get<Label>(drawing.elements[3]); };
  const std::vector<std::function<void(Drawing&)>> spoil{
      [](Drawing& d) { d.width = 0; },
      [](Drawing& d) { d.height = -1; },
      [](Drawing& d) { d.width = kNan; },
      [](Drawing& d) { d.width = kLargestSide + 1; },
      [](Drawing& d) { d.title.clear(); },
      [](Drawing& d) { d.background = Colour{0x1000000}; },
      [](Drawing& d) { d.elements.pop_back(); },
      [](Drawing& d) { d.end(); },
      [&](Drawing& d) { path(d).points[3].y = kInfinite; },
      [&](Drawing& d) { path(d).points.pop_back(); },
      [&](Drawing& d) { path(d).verbs.front() = Verb::line; },
      [&](Drawing& d) { path(d).stroke->width = -1; },
      [&](Drawing& d) {
        path(d).stroke->dash = {0, 0};
      },
      [&](Drawing& d) {
        path(d).stroke->dash = {1, -1};
      },
      [&](Drawing& d) { path(d).stroke->colour.opacity = 1.1; },
      [&](Drawing& d) { path(d).fill.colour->opacity = kNan; },
      [&](Drawing& d) { path(d).fill.hatch->spacing = 0; },
      [&](Drawing& d) { path(d).name = "a\"b"; },
      [&](Drawing& d) { label(d).size = 0; },
      [&](Drawing& d) { label(d).at.x = kNan; },
      [&](Drawing& d) { label(d).rotation_deg = kInfinite; },
      [&](Drawing& d) { label(d).halo->width = kNan; },
      [](Drawing& d) { std::get<Group>(d.elements[0]).clip->width = -1; },
  };
  for (std::size_t i = 0; i < spoil.size(); ++i) {
    Drawing drawing = one_of_everything();
    spoil[i](drawing);
    EXPECT_TRUE(check(drawing)) << "mistake " << i;
  }
}

TEST(Drawing, IsRefusedWithMorePointsThanItsLimit) {
  Drawing drawing = one_of_everything();
  Path path;
  path.points.assign(kMostPoints, {});
  path.verbs.assign(kMostPoints, Verb::line);
  path.verbs.front() = Verb::move;
  drawing.add(path);
  const auto problem = check(drawing);
  ASSERT_TRUE(problem);
  EXPECT_EQ(problem->code, Code::too_large);
}

TEST(TextWidth, IsThatOfTheFont) {
  EXPECT_DOUBLE_EQ(text_width("", 10), 0);
  EXPECT_GT(text_width("W", 10), text_width("i", 10));
  EXPECT_GT(text_width("13.7", 10, Weight::bold), text_width("13.7", 10));
  EXPECT_DOUBLE_EQ(text_width("00", 10), 2 * text_width("0", 10));
  EXPECT_DOUBLE_EQ(text_width("\xF0\x9F\xA7\xAD", 10), 10);  // unknown: an em
}

TEST(Wrap, LosesNoWord) {
  EXPECT_EQ(wrap("", 10, 100), std::vector<std::string>{});
  EXPECT_EQ(wrap("  one   two ", 10, 1000), std::vector<std::string>{"one two"});
  const std::vector<std::string> lines =
      wrap("one two three incomprehensibilities four", 10, text_width("one two", 10));
  EXPECT_EQ(lines, (std::vector<std::string>{"one two", "three", "incomprehensibilities", "four"}));
}

TEST(Path, DrawsACircleThatIsRound) {
  Path path;
  path.circle({10, 20}, 5);
  // The cubics at their middles, by de Casteljau with t = 1/2.
  Point from = path.points[0];
  for (std::size_t i = 1; i < path.points.size(); i += 3) {
    const Point to = path.points[i + 2];
    const double x = (from.x + 3 * path.points[i].x + 3 * path.points[i + 1].x + to.x) / 8;
    const double y = (from.y + 3 * path.points[i].y + 3 * path.points[i + 1].y + to.y) / 8;
    EXPECT_NEAR(std::hypot(x - 10, y - 20), 5, 0.002);
    EXPECT_NEAR(std::hypot(to.x - 10, to.y - 20), 5, 1e-12);
    from = to;
  }
}

TEST(Path, TurnsAnArcAsACompassDoes) {
  Path path;
  path.arc({0, 0}, 1, 0, 90);
  EXPECT_NEAR(path.points.front().x, 0, 1e-12);
  EXPECT_NEAR(path.points.front().y, -1, 1e-12);  // up
  EXPECT_NEAR(path.points.back().x, 1, 1e-12);    // east, to the right
  EXPECT_NEAR(path.points.back().y, 0, 1e-12);
}

}  // namespace
}  // namespace agonic::paper
