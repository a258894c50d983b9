#include "model/instrument/setting.hpp"

#include <algorithm>
#include <cmath>

#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

constexpr double kStepYears = 1.0 / 12;   // D bends slowly: a month is far shorter than any wiggle of a model
constexpr double kPrecisionYears = 1e-9;  // some hundredths of a second

Sense opposite(Sense sense) { return sense == Sense::clockwise ? Sense::counterclockwise : Sense::clockwise; }

struct Range {
  double low, high;
};

Range range_of(const DeclinationAt& declination, double from, double until) {
  const double start = declination(from);
  Range range{start, start};
  const auto steps = static_cast<int>(std::ceil((until - from) / kStepYears));
  for (int i = 1; i <= steps; ++i) {
    // Unwrapped about the start, so that a span across 180 stays one range.
    const double d = start + wrap_180(declination(std::min(until, from + i * kStepYears)) - start);
    range = {std::min(range.low, d), std::max(range.high, d)};
  }
  return range;
}

// The last decimal year from `from` on, with |D - set| <= half all the way; solved on D(t) itself.
double holds_until(const DeclinationAt& declination, double set_to, double half, double from, double last) {
  const auto holds = [&](double year) { return std::abs(wrap_180(declination(year) - set_to)) <= half + 1e-9; };
  double good = from;
  while (good < last) {
    const double next = std::min(last, good + kStepYears);
    if (!holds(next)) {
      double bad = next;
      while (bad - good > kPrecisionYears) {
        const double middle = (good + bad) / 2;
        (holds(middle) ? good : bad) = middle;
      }
      return good;
    }
    good = next;
  }
  return last;
}

}  // namespace

std::string_view word(Sense sense) noexcept {
  switch (sense) {
    case Sense::none:
      return "none";
    case Sense::clockwise:
      return "clockwise";
    case Sense::counterclockwise:
      return "counterclockwise";
  }
  return "none";
}

Sense turn_between(const CircleKind& circle, double from_deg, double to_deg) {
  const double by = wrap_180(to_deg - from_deg);
  if (std::abs(by) < 1e-9) return Sense::none;
  return by > 0 ? circle.east_turn : opposite(circle.east_turn);
}

Setting set_for(const CircleKind& circle, double aim_deg) {
  Setting setting;
  if (circle.turnable) {
    const double multiple = std::nearbyint(aim_deg / circle.graduation_deg) * circle.graduation_deg;
    setting.set_to_deg = wrap_180(std::nearbyint(multiple * 1e9) / 1e9);  // 137 * 0.1 is meant as 13.7
    setting.turn = turn_between(circle, 0, setting.set_to_deg);
  }
  setting.reads_along_needle_deg = wrap_360(setting.set_to_deg);
  setting.reads_if_backwards_deg = wrap_360(-setting.set_to_deg);
  return setting;
}

Setting find_setting(const CircleKind& circle, const DeclinationAt& declination, double from,
                     std::optional<double> until, double last_year) {
  const double d = declination(from);
  double aim = d;
  if (until && *until > from) {
    const Range range = range_of(declination, from, *until);
    aim = wrap_180((range.low + range.high) / 2);
  }
  Setting setting = set_for(circle, aim);
  setting.leftover_deg = setting.leftover_at_end_deg = setting.largest_leftover_deg = wrap_180(d - setting.set_to_deg);
  if (until && *until > from) {
    setting.leftover_at_end_deg = wrap_180(declination(*until) - setting.set_to_deg);
    const Range range = range_of(declination, from, *until);
    const double low = wrap_180(range.low - setting.set_to_deg), high = wrap_180(range.high - setting.set_to_deg);
    setting.largest_leftover_deg = std::abs(low) > std::abs(high) ? low : high;
  }

  // A circle that cannot be turned holds nothing: there the sum added by hand goes stale in the same way.
  const double held = circle.turnable ? setting.set_to_deg : d;
  const double half = circle.graduation_deg / 2;
  if (std::abs(wrap_180(d - held)) <= half + 1e-9) {
    const double end = holds_until(declination, held, half, from, last_year);
    setting.holds_until = date_of_decimal_year(end).iso;
    setting.holds_to_the_end = end >= last_year;
  }
  return setting;
}

int decimals_of(double graduation_deg) {
  for (int decimals = 0; decimals < 3; ++decimals) {
    const double scaled = graduation_deg * std::pow(10.0, decimals);
    if (std::abs(scaled - std::nearbyint(scaled)) < 1e-9) return decimals;
  }
  return 3;
}

std::string reads_text(double azimuth_deg, const CircleKind& circle) {
  const int decimals = decimals_of(circle.graduation_deg);
  if (circle.figures == Figures::azimuth) {
    std::string text = format_azimuth(azimuth_deg, decimals);
    const auto whole = std::min(text.find('.'), text.size());
    if (whole < 3) text.insert(0, 3 - whole, '0');
    return text;
  }
  const double azimuth = wrap_360(azimuth_deg);
  const bool north = azimuth <= 90 || azimuth >= 270;
  const double q = north ? std::min(azimuth, 360 - azimuth) : std::abs(180 - azimuth);
  const std::string number = format_fixed(q, decimals);
  if (number.find_first_not_of("0.") == std::string::npos) return north ? "N" : "S";
  return (north ? "N" : "S") + number + (azimuth <= 180 ? "E" : "W");
}

}  // namespace agonic::instrument
