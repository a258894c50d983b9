// The north arrows, to the right side but not to scale.
#include <algorithm>
#include <array>
#include <cmath>

#include "model/card/parts.hpp"
#include "model/units/angle.hpp"

namespace agonic::card {
namespace {

using paper::Anchor;
using paper::Label;
using paper::Path;
using paper::Point;
using paper::Stroke;

constexpr double kNothing = 0.005;                       // rounds to 0.00: drawn as one with true north
constexpr double kAlone = 25, kInner = 15, kOuter = 40;  // degrees from true north on the paper

struct Arrow {
  const char* name;
  double deg;        // from true north
  double shown = 0;  // on the paper, the same sign
  double length = 0;
};

Point tip_of(Point foot, double degrees, double length) {
  return {foot.x + length * sin_deg(degrees), foot.y - length * cos_deg(degrees)};
}

void shaft(paper::Drawing& out, Point foot, double degrees, double length, double width, std::vector<double> dash,
           const std::string& title) {
  const Point tip = tip_of(foot, degrees, length);
  Path line;
  line.stroke = Stroke{paper::kBlack, width, std::move(dash)};
  line.polyline(std::vector<Point>{foot, tip_of(foot, degrees, length - 2)});
  line.title = title;
  out.add(std::move(line));
  Path head;
  head.polyline(std::vector<Point>{tip, tip_of(tip, degrees + 162, 4), tip_of(tip, degrees - 162, 4)}, true);
  head.fill.colour = paper::kBlack;
  out.add(std::move(head));
}

void words(paper::Drawing& out, Point at, const std::string& text, Anchor anchor, paper::Weight weight) {
  Label label;
  label.at = at;
  label.text = text;
  label.size = kBody;
  label.anchor = anchor;
  label.weight = weight;
  out.add(std::move(label));
}

}  // namespace

void draw_norths(paper::Drawing& out, double x, double y, double width, double declination_deg,
                 std::optional<double> convergence_deg) {
  std::array<Arrow, 2> arrows{Arrow{"magnetic", declination_deg}, Arrow{"grid", convergence_deg.value_or(0)}};
  const auto side = [](const Arrow& a) { return std::abs(a.deg) < kNothing ? 0 : a.deg < 0 ? -1 : 1; };
  const bool together = convergence_deg && side(arrows[0]) != 0 && side(arrows[0]) == side(arrows[1]);
  const bool one = together && std::abs(arrows[0].deg - arrows[1].deg) < kNothing;
  for (std::size_t i = 0; i < arrows.size(); ++i) {
    const bool outer = std::abs(arrows[i].deg) > std::abs(arrows[1 - i].deg);
    arrows[i].shown = side(arrows[i]) * (one || !together ? kAlone : outer ? kOuter : kInner);
    arrows[i].length = together && outer && !one ? 36 : 40;
  }
  const Point foot{x + width / 2, y + kDiagramHeight - 3};
  std::string at_true = "true";
  if (convergence_deg && side(arrows[1]) == 0) at_true += " = grid";
  if (side(arrows[0]) == 0) at_true += " = magnetic";

  shaft(out, foot, 0, 42, 0.7, {}, "true north");
  words(out, {foot.x, foot.y - 43.5}, at_true, Anchor::middle, paper::Weight::bold);
  for (const Arrow& arrow : arrows) {
    const bool grid = arrow.name == std::string("grid");
    if (side(arrow) == 0 || (grid && (!convergence_deg || one))) continue;
    shaft(out, foot, arrow.shown, arrow.length, grid ? 0.35 : 0.7,
          grid ? std::vector<double>{1.6, 1.2} : std::vector<double>{},
          std::string(arrow.name) + " north, " + side_words(arrow.deg) + " of true north");
    const Point tip = tip_of(foot, arrow.shown, arrow.length);
    const bool right = arrow.shown > 0;
    const Anchor anchor = right ? Anchor::start : Anchor::end;
    const double at = tip.x + (right ? 2 : -2);
    double line = tip.y;
    const auto write = [&](const std::string& text, paper::Weight weight) {
      words(out, {at, line}, text, anchor, weight);
      line += kLine;
    };
    write(arrow.name, paper::Weight::bold);
    if (one) write("= grid", paper::Weight::bold);
    write(side_words(arrow.deg), paper::Weight::normal);
  }
  words(out, {x + width, foot.y}, "not to scale", Anchor::end, paper::Weight::normal);
}

}  // namespace agonic::card
