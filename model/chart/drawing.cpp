#include "model/chart/drawing.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "model/chart/labels.hpp"
#include "model/chart/land.hpp"
#include "model/chart/legend.hpp"
#include "model/chart/projection.hpp"
#include "model/chart/style.hpp"
#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

using paper::Anchor;
using paper::Label;
using paper::Path;
using paper::Point;
using paper::Stroke;

constexpr double kMargin = 48, kRight = 26, kMostMapHeight = 860, kAroundCap = 24;

double net_step(double degrees) {
  constexpr std::array kSteps{0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0};
  constexpr double kMost = 7;
  for (const double step : kSteps)
    if (degrees / step <= kMost) return step;
  return kSteps.back();
}

std::string tick(double degrees, double step, char positive, char negative, bool half_circle) {
  const int decimals = step < 0.01 ? 3 : step < 0.1 ? 2 : step < 1 ? 1 : 0;
  std::string text = format_fixed(std::fabs(degrees), decimals) + "°";
  if (degrees != 0 && !(half_circle && std::fabs(degrees) == 180))
    text += std::string(" ") + (degrees > 0 ? positive : negative);
  return text;
}
std::string lon_tick(double lon, double step) {
  if (lon > 180) lon -= 360;
  return tick(std::fabs(lon) < 1e-9 ? 0 : lon, step, 'E', 'W', true);
}
std::string lat_tick(double lat, double step) { return tick(std::fabs(lat) < 1e-9 ? 0 : lat, step, 'N', 'S', false); }

class Page {
 public:
  Page(const Chart& chart, std::string_view coastline) : chart_(chart), map_(chart.query.box, {}, 1, 1) {
    const double top = head_height(chart, kPageWidth - kRight - kMargin);
    const double around = map_.polar() ? kAroundCap : 0;
    map_ = Projection(chart.query.box, {kMargin + around, top + around}, kPageWidth - kMargin - kRight - 2 * around,
                      kMostMapHeight);
    page_.unit = paper::Unit::px;
    page_.background = kPaper;
    page_.title = heading(chart);
    page_.description = description(chart);
    surface(coastline);
    zones();
    lines();
    frame();
    const double below = map_.frame().y + map_.frame().height + (map_.polar() ? kAroundCap : 0) + 34;
    page_.width = kPageWidth;
    page_.height = std::ceil(surround(chart, kMargin, kPageWidth - kRight, below, page_));
  }
  paper::Drawing take() { return std::move(page_); }

 private:
  void surface(std::string_view coastline) {
    const paper::Box& frame = map_.frame();
    page_.open({"map", "", frame});
    Path sea;
    sea.rectangle(frame).fill = {kSea, {}};
    sea.name = "sea";
    page_.add(sea);
    constexpr double kWide = 75;  // degrees: beyond, the coarser outlines are fine enough
    const Box& box = chart_.query.box;
    const bool wide = std::max(box.east - box.west, 2 * (box.north - box.south)) > kWide && !map_.polar();
    Land land = project_land(read_land(coastline, wide ? "110m" : "50m"), map_);
    land.area.fill = {kLand, {}};
    land.area.name = "land";
    page_.add(std::move(land.area));
    net();
    land.coast.stroke = Stroke{kCoast, 0.8, {}};
    land.coast.name = "coast";
    page_.add(std::move(land.coast));
  }

  // Parallels and meridians.
  void net() {
    const Box& box = chart_.query.box;
    const double step = lat_step(), lon = lon_step();
    Path net;
    net.stroke = Stroke{kNet, 0.7, {}};
    net.name = "net";
    for (double lat = std::ceil(box.south / step) * step; lat <= box.north; lat += step) {
      if (map_.polar()) {
        if (std::fabs(lat) < 90)
          net.circle(map_.at(0, 90.0 * map_.pole()), std::fabs(90.0 * map_.pole() - lat) / map_.degrees_per_unit());
        continue;
      }
      const std::array ends{map_.at(box.west, lat), map_.at(box.east, lat)};
      net.polyline(ends);
    }
    for (double at = std::ceil(box.west / lon) * lon; at <= box.east; at += lon) {
      const std::array ends{map_.at(at, box.south), map_.at(at, box.north)};
      net.polyline(ends);
    }
    page_.add(std::move(net));
  }
  [[nodiscard]] double lat_step() const { return net_step(chart_.query.box.north - chart_.query.box.south); }
  [[nodiscard]] double lon_step() const {
    if (map_.polar()) return 30;
    const double step = net_step((chart_.query.box.east - chart_.query.box.west) / 1.8);
    return step;
  }

  void zones() {
    const auto add = [&](std::vector<Polygon> Sheet::*which, const paper::Hatch& hatch, std::string name,
                         std::string title) {
      Path area;
      area.fill.hatch = hatch;
      area.name = std::move(name);
      area.title = std::move(title);
      for (const Sheet& sheet : chart_.sheets) {
        for (const Polygon& polygon : sheet.*which) {
          for (const std::vector<Vertex>& ring : polygon.rings) {
            std::vector<Point> points;
            outline(ring, sheet.part.turn_deg, points);
            area.polyline(points, true);
          }
        }
      }
      if (!area.verbs.empty()) page_.add(std::move(area));
    };
    add(&Sheet::caution, kCautionHatch, "needle-caution", "The needle is weak here: H from 2000 to 6000 nT");
    add(&Sheet::unusable, kUnusableHatch, "needle-unusable", "No needle works here: H below 2000 nT");
  }
  // A ring on the paper; long sides along a parallel are bent where the paper bends them.
  void outline(const std::vector<Vertex>& ring, double turn, std::vector<Point>& out) const {
    constexpr double kLong = 2;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vertex a = ring[i], b = ring[(i + 1) % ring.size()];
      const int pieces = map_.polar() ? std::max(1, static_cast<int>(std::fabs(b.lon_deg - a.lon_deg) / kLong)) : 1;
      for (int k = 0; k < pieces; ++k) {
        const double t = static_cast<double>(k) / pieces;
        out.push_back(map_.at(a.lon_deg + t * (b.lon_deg - a.lon_deg) + turn, a.lat_deg + t * (b.lat_deg - a.lat_deg)));
      }
    }
  }

  void lines() {
    std::vector<Stretch> all = stretches(chart_, map_, kLeastGap);
    Taken taken;
    if (map_.polar())
      for (const auto& [lat, at] : parallels()) taken.take(at, kTickSize * 1.6);
    std::vector<std::string> text;
    text.reserve(all.size());
    for (const Stretch& one : all) text.push_back(level_text(chart_.query.quantity, one.level, chart_.interval));
    std::vector<Label> placed = label(all, map_, kLabelSize, text, taken);
    for (const double level : chart_.levels) {
      Path path;
      path.stroke = line_pen(chart_.query.quantity, level, false);
      path.name = level == 0 && chart_.query.quantity == Quantity::declination ? "line agonic" : "line";
      path.title = level_text(chart_.query.quantity, level, chart_.interval);
      for (const Stretch& one : all) {
        if (one.level != level) continue;
        if (one.rank > chart_.interval * 1.001) path.stroke = line_pen(chart_.query.quantity, level, true);
        for (const std::vector<Point>& piece : one.pieces) path.polyline(piece);
      }
      if (!path.verbs.empty()) page_.add(std::move(path));
    }
    for (Label& one : placed) {
      one.colour = label_colour(chart_.query.quantity, one.text);
      one.halo = Stroke{paper::Colour{0xFDFCF9, 0.85}, 3, {}};
      one.weight = one.text == "0°" ? paper::Weight::bold : paper::Weight::normal;
      one.name = "label";
      page_.add(std::move(one));
    }
    page_.end();
  }
  // Where the latitudes of the circles are written.
  [[nodiscard]] std::vector<std::pair<double, Point>> parallels() const {
    constexpr double kClear = 15;  // degrees of longitude: between two meridians
    std::vector<std::pair<double, Point>> out;
    const Box& box = chart_.query.box;
    const double step = lat_step();
    for (double lat = std::ceil(box.south / step) * step; lat < box.north; lat += step)
      if (std::fabs(lat) < 89 && lat > box.south) out.emplace_back(lat, map_.at(kClear, lat));
    return out;
  }

  void frame() {
    const paper::Box& frame = map_.frame();
    const Box& box = chart_.query.box;
    Path edge;
    edge.stroke = Stroke{kInk, 1.1, {}};
    edge.name = "frame";
    const auto write = [&](std::string text, Point at, Anchor anchor) {
      Label label;
      label.text = std::move(text);
      label.at = at;
      label.size = kTickSize;
      label.anchor = anchor;
      label.level = paper::Level::middle;
      label.colour = kFaint;
      label.name = "tick";
      page_.add(std::move(label));
    };
    if (map_.polar()) {
      const Point middle = map_.at(0, 90.0 * map_.pole());
      const double radius = frame.width / 2;
      Path mask;
      mask.rectangle({frame.x - 1, frame.y - 1, frame.width + 2, frame.height + 2}).circle(middle, radius);
      mask.fill = {kPaper, {}};
      mask.name = "paper";
      page_.add(std::move(mask));
      edge.circle(middle, radius);
      page_.add(std::move(edge));
      for (double lon = -150; lon <= 180; lon += 30) {
        const Point on = map_.at(lon, map_.pole() > 0 ? box.south : box.north);
        const double out = 1 + 20 / radius;
        write(lon_tick(lon, 30), {middle.x + (on.x - middle.x) * out, middle.y + (on.y - middle.y) * out},
              Anchor::middle);
      }
      for (const auto& [lat, at] : parallels()) parallel(lat, at);
      return;
    }
    edge.rectangle(frame);
    page_.add(std::move(edge));
    const double step = lat_step(), lon = lon_step();
    for (double at = std::ceil(box.south / step) * step; at <= box.north + 1e-9; at += step)
      write(lat_tick(at, step), {frame.x - 6, map_.at(box.west, at).y}, Anchor::end);
    for (double at = std::ceil(box.west / lon) * lon; at <= box.east + 1e-9; at += lon)
      write(lon_tick(at, lon), {map_.at(at, box.south).x, frame.y + frame.height + 13}, Anchor::middle);
  }
  // The latitude of a circle, written on it where meridians leave room.
  void parallel(double lat, Point at) {
    Label label;
    label.text = lat_tick(lat, lat_step());
    label.at = at;
    label.size = kTickSize;
    label.anchor = Anchor::middle;
    label.level = paper::Level::middle;
    label.colour = kFaint;
    label.halo = Stroke{paper::Colour{0xFDFCF9, 0.85}, 4, {}};
    label.name = "tick";
    page_.add(std::move(label));
  }

  const Chart& chart_;
  Projection map_;
  paper::Drawing page_;
};

}  // namespace

paper::Drawing draw(const Chart& chart, std::string_view coastline) { return Page(chart, coastline).take(); }

}  // namespace agonic::chart
