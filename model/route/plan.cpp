#include "model/route/plan.hpp"

#include <algorithm>
#include <cmath>

#include "model/units/angle.hpp"

namespace agonic::route {
namespace {

constexpr double kRounding = 1e-9;  // a leftover of exactly the tolerance is within it

// What is set, or, where nothing can be, what is added by hand instead.
instrument::CircleKind turning(const instrument::CircleKind& circle) {
  instrument::CircleKind out = circle;
  out.turnable = true;
  return out;
}

double leftover_of(double low, double high, double set_to) {
  const double a = wrap_180(low - set_to), b = a + (high - low);
  return std::abs(a) > std::abs(b) ? a : b;
}

// A run of declinations, unwrapped about its first one.
class Run {
 public:
  explicit Run(const Piece& piece) : low_(piece.from_deg), high_(piece.from_deg) { add(piece); }
  void add(const Piece& piece) {
    const double from = low_ + wrap_180(piece.from_deg - low_);
    const double to = from + wrap_180(piece.to_deg - piece.from_deg);
    low_ = std::min({low_, from, to});
    high_ = std::max({high_, from, to});
  }
  [[nodiscard]] instrument::Setting setting(const instrument::CircleKind& circle) const {
    return instrument::set_for(turning(circle), (low_ + high_) / 2);
  }
  [[nodiscard]] double leftover(const instrument::CircleKind& circle) const {
    return leftover_of(low_, high_, setting(circle).set_to_deg);
  }
  [[nodiscard]] bool holds(const instrument::CircleKind& circle, double tolerance) const {
    return high_ - low_ <= 2 * tolerance + kRounding && std::abs(leftover(circle)) <= tolerance + kRounding;
  }
  [[nodiscard]] double low() const { return low_; }
  [[nodiscard]] double high() const { return high_; }

 private:
  double low_, high_;
};

}  // namespace

std::vector<Stretch> fewest_settings(const instrument::CircleKind& circle, double tolerance_deg,
                                     std::span<const Piece> pieces) {
  std::vector<Stretch> out;
  double before = 0;
  for (std::size_t i = 0; i < pieces.size();) {
    Run run(pieces[i]);
    if (!run.holds(circle, tolerance_deg)) {
      ++i;
      continue;
    }
    Stretch stretch{i, i, {}, 0, 0, 0};
    for (std::size_t next = i + 1; next < pieces.size(); ++next) {
      Run longer = run;
      longer.add(pieces[next]);
      if (!longer.holds(circle, tolerance_deg)) break;
      run = longer;
      stretch.last = next;
    }
    stretch.setting = run.setting(circle);
    stretch.setting.turn = instrument::turn_between(circle, before, stretch.setting.set_to_deg);
    stretch.low_deg = wrap_180(run.low());
    stretch.high_deg = stretch.low_deg + (run.high() - run.low());
    stretch.largest_leftover_deg = run.leftover(circle);
    before = stretch.setting.set_to_deg;
    i = stretch.last + 1;
    out.push_back(stretch);
  }
  return out;
}

OneSetting one_setting(const instrument::CircleKind& circle, std::span<const double> declinations_deg) {
  std::vector<double> sorted(declinations_deg.begin(), declinations_deg.end());
  std::sort(sorted.begin(), sorted.end());
  // The arc that holds all of them is what the widest gap between neighbours leaves.
  double widest = sorted.front() + 360 - sorted.back();
  std::size_t after = 0;
  for (std::size_t i = 1; i < sorted.size(); ++i)
    if (sorted[i] - sorted[i - 1] > widest) widest = sorted[i] - sorted[i - 1], after = i;
  OneSetting out;
  out.low_deg = sorted[after];
  out.high_deg = out.low_deg + (360 - widest);
  out.setting = instrument::set_for(turning(circle), (out.low_deg + out.high_deg) / 2);
  for (std::size_t i = 0; i < declinations_deg.size(); ++i) {
    const double left = wrap_180(declinations_deg[i] - out.setting.set_to_deg);
    if (i == 0 || std::abs(left) > std::abs(out.largest_leftover_deg) + kRounding)
      out.largest_leftover_deg = left, out.at = i;
  }
  return out;
}

}  // namespace agonic::route
