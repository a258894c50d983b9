#include "model/paper/drawing.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "model/units/number.hpp"

namespace agonic::paper {
namespace {

// A quarter of a circle as one cubic: the handle that meets the circle half-way (error 0.03 % of the radius).
double handle(double sweep_rad) { return 4.0 / 3.0 * std::tan(sweep_rad / 4); }

Problem bug(std::string what) {
  return {Code::out_of_range, "drawing", "", std::move(what),
          "The drawing was put together wrongly; nothing is drawn."};
}
bool finite(Point p) { return std::isfinite(p.x) && std::isfinite(p.y); }
bool good(const Colour& colour) { return colour.opacity >= 0 && colour.opacity <= 1 && colour.rgb <= 0xFFFFFF; }
bool length(double value) { return value >= 0 && std::isfinite(value); }
bool good(const Stroke& stroke) {
  const double whole = [&] {
    double sum = 0;
    for (const double part : stroke.dash) sum += part;
    return sum;
  }();
  return good(stroke.colour) && length(stroke.width) && std::all_of(stroke.dash.begin(), stroke.dash.end(), length) &&
         (stroke.dash.empty() || whole > 0);
}
bool good_name(std::string_view name) {
  return std::all_of(name.begin(), name.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
           c == ' ';
  });
}

std::optional<Problem> check(const Path& path) {
  constexpr std::array<std::size_t, 4> kTakes{1, 1, 3, 0};
  std::size_t points = 0;
  for (const Verb verb : path.verbs) points += kTakes[static_cast<std::size_t>(verb)];
  if (points != path.points.size()) return bug("a path whose steps and points do not match");
  if (!path.verbs.empty() && path.verbs.front() != Verb::move) return bug("a path that does not begin with a place");
  if (!std::all_of(path.points.begin(), path.points.end(), finite)) return bug("a point that is not finite");
  if (path.stroke && !good(*path.stroke)) return bug("a stroke with an impossible width, dash or colour");
  if (path.fill.colour && !good(*path.fill.colour)) return bug("an impossible colour");
  if (path.fill.hatch) {
    const Hatch& hatch = *path.fill.hatch;
    if (!good(hatch.colour) || !length(hatch.width) || !(hatch.spacing > 0) || !std::isfinite(hatch.spacing) ||
        !std::isfinite(hatch.angle_deg))
      return bug("an impossible hatch");
  }
  if (!good_name(path.name)) return bug("a name with a sign that none may have");
  return std::nullopt;
}
std::optional<Problem> check(const Label& label) {
  if (!finite(label.at) || !std::isfinite(label.rotation_deg)) return bug("a label at no place");
  if (!(label.size > 0) || !std::isfinite(label.size)) return bug("a label without size");
  if (!good(label.colour) || (label.halo && !good(*label.halo))) return bug("a label in an impossible colour");
  if (!good_name(label.name)) return bug("a name with a sign that none may have");
  return std::nullopt;
}
std::optional<Problem> check(const Group& group) {
  if (group.clip &&
      (!finite({group.clip->x, group.clip->y}) || !length(group.clip->width) || !length(group.clip->height)))
    return bug("a group clipped to no box");
  if (!good_name(group.name)) return bug("a name with a sign that none may have");
  return std::nullopt;
}
std::optional<Problem> check(const End&) { return std::nullopt; }

}  // namespace

Path& Path::move_to(Point to) {
  verbs.push_back(Verb::move);
  points.push_back(to);
  return *this;
}
Path& Path::line_to(Point to) {
  verbs.push_back(Verb::line);
  points.push_back(to);
  return *this;
}
Path& Path::curve_to(Point first, Point second, Point to) {
  verbs.push_back(Verb::curve);
  points.insert(points.end(), {first, second, to});
  return *this;
}
Path& Path::close() {
  verbs.push_back(Verb::close);
  return *this;
}
Path& Path::polyline(std::span<const Point> through, bool closed) {
  if (through.size() < 2) return *this;
  verbs.push_back(Verb::move);
  verbs.insert(verbs.end(), through.size() - 1, Verb::line);
  points.insert(points.end(), through.begin(), through.end());
  return closed ? close() : *this;
}
Path& Path::rectangle(const Box& box, double corner_radius) {
  const double right = box.x + box.width;
  const double bottom = box.y + box.height;
  const double r = std::min({corner_radius, box.width / 2, box.height / 2});
  if (!(r > 0)) {
    return move_to({box.x, box.y}).line_to({right, box.y}).line_to({right, bottom}).line_to({box.x, bottom}).close();
  }
  const double k = r * (1 - handle(std::numbers::pi / 2));
  return move_to({box.x + r, box.y})
      .line_to({right - r, box.y})
      .curve_to({right - k, box.y}, {right, box.y + k}, {right, box.y + r})
      .line_to({right, bottom - r})
      .curve_to({right, bottom - k}, {right - k, bottom}, {right - r, bottom})
      .line_to({box.x + r, bottom})
      .curve_to({box.x + k, bottom}, {box.x, bottom - k}, {box.x, bottom - r})
      .line_to({box.x, box.y + r})
      .curve_to({box.x, box.y + k}, {box.x + k, box.y}, {box.x + r, box.y})
      .close();
}
Path& Path::circle(Point centre, double radius) { return arc(centre, radius, 0, 360).close(); }

Path& Path::arc(Point centre, double radius, double from_deg, double sweep_deg) {
  const auto at = [&](double deg) {
    const double rad = deg * std::numbers::pi / 180;
    return Point{centre.x + radius * std::sin(rad), centre.y - radius * std::cos(rad)};
  };
  const int parts = std::max(1, static_cast<int>(std::ceil(std::fabs(sweep_deg) / 90)));
  const double step = sweep_deg / parts;
  const double h = handle(step * std::numbers::pi / 180) * radius;
  move_to(at(from_deg));
  for (int i = 0; i < parts; ++i) {
    const double from = (from_deg + i * step) * std::numbers::pi / 180;
    const double to = (from_deg + (i + 1) * step) * std::numbers::pi / 180;
    const Point start = at(from_deg + i * step);
    const Point end = at(from_deg + (i + 1) * step);
    curve_to({start.x + h * std::cos(from), start.y + h * std::sin(from)},
             {end.x - h * std::cos(to), end.y - h * std::sin(to)}, end);
  }
  return *this;
}

std::optional<Problem> check(const Drawing& drawing) {
  const auto side = [](double value) { return value > 0 && value <= kLargestSide; };
  if (!side(drawing.width) || !side(drawing.height)) {
    return Problem{Code::too_large, "drawing", format_trimmed(drawing.width) + " x " + format_trimmed(drawing.height),
                   "a drawing is more than 0 and at most " + format_trimmed(kLargestSide) + " units wide and high",
                   "Ask for another size."};
  }
  if (drawing.title.empty()) return bug("a drawing without a title");
  if (drawing.background && !good(*drawing.background)) return bug("an impossible colour");
  std::size_t points = drawing.elements.size();
  std::size_t depth = 0;
  for (const Element& element : drawing.elements) {
    if (auto problem = std::visit([](const auto& one) { return check(one); }, element)) return problem;
    if (const auto* path = std::get_if<Path>(&element)) points += path->points.size();
    if (std::holds_alternative<Group>(element)) ++depth;
    if (std::holds_alternative<End>(element) && depth-- == 0) return bug("a group closed that was not open");
  }
  if (depth > 0) return bug("a group that is not closed");
  if (points > kMostPoints) {
    return Problem{Code::too_large, "drawing", std::to_string(points),
                   "a drawing has at most " + std::to_string(kMostPoints) + " points", "Ask for less in one drawing."};
  }
  return std::nullopt;
}

}  // namespace agonic::paper
