#include "model/chart/box.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

constexpr double kLeastSideDeg = 0.01;

Problem refuse(std::string_view text, std::string message, std::string remedy) {
  return {Code::place_out_of_range, "bbox", std::string(text), std::move(message), std::move(remedy)};
}

std::vector<double> steps(double from, double to, double step) {
  std::vector<double> out;
  // A last step shorter than a thousandth would be a sliver left over by rounding.
  const double count = (to - from) / step;
  const auto whole = static_cast<std::size_t>(std::floor(count + 1e-3));
  out.reserve(whole + 2);
  for (std::size_t i = 0; i <= whole; ++i) out.push_back(from + static_cast<double>(i) * step);
  if (count - static_cast<double>(whole) > 1e-3 || out.size() < 2)
    out.push_back(to);
  else
    out.back() = to;
  return out;
}

}  // namespace

Result<Box> parse_box(std::string_view text) {
  constexpr std::string_view kRemedy = "Give west,south,east,north in degrees, as bbox=5,45,11,48";
  std::array<double, 4> side{};
  std::string_view rest = text;
  for (std::size_t i = 0; i < side.size(); ++i) {
    const std::size_t end = std::min(rest.find(','), rest.size());
    const auto number = parse_number(rest.substr(0, end));
    const bool last = i + 1 == side.size();
    if (!number || last != (end == rest.size()))
      return refuse(text, "a box is four numbers with commas between them", std::string(kRemedy));
    side[i] = *number;
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
  auto [west, south, east, north] = side;
  if (!(south >= -90 && north <= 90)) return refuse(text, "a latitude lies from -90 to 90", std::string(kRemedy));
  if (!(west >= -180 && west <= 360 && east >= -180 && east <= 360))
    return refuse(text, "a longitude lies from -180 to 360", std::string(kRemedy));
  if (south > north) return refuse(text, "the south edge lies north of the north edge", "Exchange the two latitudes");
  if (west == east && north > south)
    return refuse(text, "the west and the east edge are one line", "For the whole circle give -180 and 180");
  double width = east - west;
  if (width < 0) width += 360;
  if (width > 360) return refuse(text, "the box goes round the world more than once", "Give at most 360 degrees");
  if (west >= 180) west -= 360;
  if (width < kLeastSideDeg || north - south < kLeastSideDeg)
    return refuse(text, "the box is less than " + format_trimmed(kLeastSideDeg) + " degree wide or high",
                  "Give a larger box, or ask for one place");
  return Box{west, south, west + width, north};
}

std::vector<double> rows(const Box& box, double step_deg) { return steps(box.south, box.north, step_deg); }
std::vector<double> columns(const Box& box, double step_deg) { return steps(box.west, box.east, step_deg); }

std::vector<Part> parts(const Box& box, double step_deg) {
  std::vector<Part> out;
  const std::vector<double> all = columns(box, step_deg);
  Part near{rows(box, step_deg), {}, 0};
  if (box.east <= 180) {
    near.lon_deg = all;
    out.push_back(std::move(near));
    return out;
  }
  Part far{near.lat_deg, {-180}, 360};
  // A column closer to the antimeridian than a thousandth of a step gives way to it.
  const double apart = step_deg / 1000;
  for (const double lon : all) {
    if (lon < 180 - apart) near.lon_deg.push_back(lon);
    if (lon > 180 + apart) far.lon_deg.push_back(lon - 360);
  }
  near.lon_deg.push_back(180);
  if (near.lon_deg.size() >= 2) out.push_back(std::move(near));
  if (far.lon_deg.size() >= 2) out.push_back(std::move(far));
  return out;
}

double good_step(const Box& box) {
  constexpr std::array kSteps{0.01, 0.02, 0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 2.0};
  constexpr double kColumns = 185;
  const double side = std::max(box.east - box.west, 2 * (box.north - box.south));
  for (const double step : kSteps)
    if (side / step <= kColumns) return step;
  return kSteps.back();
}

}  // namespace agonic::chart
