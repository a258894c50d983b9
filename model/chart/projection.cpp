#include "model/chart/projection.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace agonic::chart {
namespace {
constexpr double kWidestCapDeg = 70;
constexpr double kLeastShortening = 0.2;
constexpr double radians(double deg) { return deg * std::numbers::pi / 180; }
}  // namespace

Projection::Projection(const Box& box, paper::Point corner, double width, double most_height) : box_(box) {
  const double high = box.north - box.south;
  const bool north = box.north == 90, south = box.south == -90;
  polar_ = box.whole_circle() && north != south && high <= kWidestCapDeg;
  if (polar_) {
    pole_ = north ? 1 : -1;
    const double side = std::min(width, most_height);
    scale_ = side / (2 * high);
    frame_ = {corner.x + (width - side) / 2, corner.y, side, side};
    return;
  }
  // The world as a whole keeps its degrees square.
  const double middle = (box.north + box.south) / 2;
  shorten_ = std::max(kLeastShortening, std::cos(radians(middle)));
  const double wide = (box.east - box.west) * shorten_;
  scale_ = std::min(width / wide, most_height / high);
  frame_ = {corner.x + (width - wide * scale_) / 2, corner.y, wide * scale_, high * scale_};
}

paper::Point Projection::at(double lon_deg, double lat_deg) const {
  if (polar_) {
    const double r = (90 - pole_ * lat_deg) * scale_;
    const double x = frame_.x + frame_.width / 2, y = frame_.y + frame_.height / 2;
    return {x + r * std::sin(radians(lon_deg)), y + pole_ * r * std::cos(radians(lon_deg))};
  }
  return {frame_.x + (lon_deg - box_.west) * shorten_ * scale_, frame_.y + (box_.north - lat_deg) * scale_};
}

bool Projection::shows(paper::Point point, double margin) const {
  if (polar_) {
    const double x = point.x - frame_.x - frame_.width / 2, y = point.y - frame_.y - frame_.height / 2;
    return std::hypot(x, y) <= frame_.width / 2 - margin;
  }
  return point.x >= frame_.x + margin && point.x <= frame_.x + frame_.width - margin && point.y >= frame_.y + margin &&
         point.y <= frame_.y + frame_.height - margin;
}

}  // namespace agonic::chart
