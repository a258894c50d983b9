// The declination along the way as a drawing: black ink, so that it prints and photocopies.
#include <algorithm>
#include <cmath>

#include "model/paper/drawing.hpp"
#include "model/paper/svg.hpp"
#include "model/route/parts.hpp"
#include "model/units/angle.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::route {
namespace {

using paper::Anchor;
using paper::Drawing;
using paper::Label;
using paper::Path;
using paper::Point;
using paper::Stroke;

constexpr double kWidth = 900, kHeight = 480;                       // CSS pixels
constexpr double kLeft = 84, kRight = 24, kTop = 64, kBottom = 64;  // around the plot
constexpr double kType = 15;
constexpr std::size_t kLabelled = 12;  // stops with their names below the axis

// 1, 2 or 5 times a power of ten, so that about `wanted` steps fill the range.
double step_for(double range, int wanted) {
  const double raw = std::max(range, 1e-9) / wanted;
  const double power = std::pow(10, std::floor(std::log10(raw)));
  for (const double m : {1.0, 2.0, 5.0})
    if (raw <= m * power * (1 + 1e-9)) return m * power;
  return 10 * power;
}

int decimals_for(double step) { return step >= 1 ? 0 : step >= 0.1 ? 1 : 2; }

class Profile {
 public:
  explicit Profile(const Sheet& sheet) : sheet_(sheet) {
    by_km_ = sheet.samples.back().km > 0;
    for (const Sample& sample : sheet.samples) {
      const double d = sample.field.elements.declination_deg;
      d_.push_back(d_.empty() ? d : d_.back() + wrap_180(d - d_.back()));
      x_.push_back(by_km_ ? sample.km : sample.spot.decimal_year);
    }
    const auto [xl, xh] = std::minmax_element(x_.begin(), x_.end());
    x_low_ = *xl, x_high_ = *xh;
    if (x_high_ - x_low_ < 1e-9) x_low_ -= 0.5, x_high_ += 0.5;
    low_ = high_ = d_.front();
    for (std::size_t i = 0; i < d_.size(); ++i) {
      // Where no needle works a sigma may be half the circle: it would flatten all else.
      const double sigma = sheet.used(i) ? sheet.samples[i].field.sigma_deg : 0;
      low_ = std::min(low_, d_[i] - sigma);
      high_ = std::max(high_, d_[i] + sigma);
    }
    for (const Leg& leg : sheet.settings) {
      low_ = std::min(low_, level(leg) - sheet.rules.tolerance_deg);
      high_ = std::max(high_, level(leg) + sheet.rules.tolerance_deg);
    }
    const double room = std::max(0.05 * (high_ - low_), 0.1);
    low_ -= room, high_ += room;
  }

  Drawing drawing() {
    out_.width = kWidth, out_.height = kHeight, out_.unit = paper::Unit::px;
    out_.title = "Declination along the route";
    out_.description = "Declination " + declination_text(sheet_.low_deg) + " to " +
                       declination_text(wrap_180(sheet_.high_deg)) + "; " + std::to_string(sheet_.settings.size()) +
                       " settings within " + format_trimmed(sheet_.rules.tolerance_deg) + " degrees.";
    zones();
    axes();
    band();
    settings();
    curve();
    stops();
    caption();
    return std::move(out_);
  }

 private:
  [[nodiscard]] double px(double x) const {
    return kLeft + (x - x_low_) / (x_high_ - x_low_) * (kWidth - kLeft - kRight);
  }
  [[nodiscard]] double py(double d) const { return kTop + (high_ - d) / (high_ - low_) * (kHeight - kTop - kBottom); }
  [[nodiscard]] Point at(std::size_t i) const { return {px(x_[i]), py(d_[i])}; }
  // A setting on the unwrapped scale of the curve.
  [[nodiscard]] double level(const Leg& leg) const {
    return d_[leg.first] + wrap_180(leg.stretch.setting.set_to_deg - d_[leg.first]);
  }
  void line(Point a, Point b, double width, std::vector<double> dash = {}) {
    Path path;
    path.stroke = Stroke{paper::kBlack, width, std::move(dash)};
    path.polyline(std::vector<Point>{a, b});
    out_.add(std::move(path));
  }
  void label(Point where, std::string text, Anchor anchor, double size = kType, bool halo = false) {
    Label one;
    one.at = where;
    one.text = std::move(text);
    one.size = size;
    one.anchor = anchor;
    one.level = paper::Level::middle;
    if (halo) one.halo = Stroke{paper::kWhite, 4, {}};
    out_.add(std::move(one));
  }

  void zones() {
    for (const Zone& zone : sheet_.zones) {
      const double from = px(x_[zone.first]), to = std::max(px(x_[zone.last]), from + 4);
      Path path;
      path.rectangle({from, kTop, to - from, kHeight - kTop - kBottom});
      const bool weak = zone.needle == field::Needle::caution;
      path.fill.hatch = paper::Hatch{paper::kBlack, weak ? 12.0 : 6.0, 0.7, 45};
      path.title = std::string("needle: ") + std::string(field::word(zone.needle));
      out_.add(std::move(path));
      const std::string word(field::word(zone.needle));
      if (to - from > paper::text_width(word, kType) + 8)
        label({(from + to) / 2, kTop + 12}, word, Anchor::middle, kType, true);
    }
  }
  void axes() {
    Path frame;
    frame.stroke = Stroke{paper::kBlack, 1, {}};
    frame.rectangle({kLeft, kTop, kWidth - kLeft - kRight, kHeight - kTop - kBottom});
    out_.add(std::move(frame));
    const double step = step_for(high_ - low_, 6);
    for (double n = std::ceil(low_ / step); n * step <= high_; ++n) {
      const double d = n * step, shown = wrap_180(d);
      line({kLeft - 5, py(d)}, {kLeft, py(d)}, 1);
      line({kLeft, py(d)}, {kWidth - kRight, py(d)}, 0.3);
      label({kLeft - 9, py(d)}, degrees(shown, decimals_for(step)), Anchor::end);
    }
    const double across = step_for(x_high_ - x_low_, 7);
    for (double n = std::ceil(x_low_ / across - 1e-9); n * across <= x_high_ + 1e-9; ++n) {
      const double x = n * across;
      line({px(x), kHeight - kBottom}, {px(x), kHeight - kBottom + 5}, 1);
      // The last one would lie on the axis' name.
      if (px(x) < kWidth - kRight - 60)
        label({px(x), kHeight - kBottom + 18}, format_fixed(x, across >= 1 ? 0 : 2), Anchor::middle);
    }
    label({kWidth - kRight, kHeight - kBottom + 18}, by_km_ ? "km" : "year", Anchor::end);
  }
  // "13.5° W", "0°".
  static std::string degrees(double d, int decimals) {
    std::string text = declination_side_text(d, decimals);
    const auto blank = text.find(' ');
    return blank == std::string::npos ? text + "\u00B0" : text.insert(blank, "\u00B0");
  }
  // One sigma to both sides.
  void band() {
    if (d_.size() < 2 || !sheet_.rules.legs) return;
    std::size_t i = 0;
    while (i < d_.size()) {
      if (!sheet_.used(i)) {
        ++i;
        continue;
      }
      std::vector<Point> ring;
      std::size_t j = i;
      for (; j < d_.size() && sheet_.used(j); ++j)
        ring.push_back({px(x_[j]), py(d_[j] + sheet_.samples[j].field.sigma_deg)});
      for (std::size_t k = j; k-- > i;) ring.push_back({px(x_[k]), py(d_[k] - sheet_.samples[k].field.sigma_deg)});
      Path path;
      path.polyline(ring, true);
      path.fill.colour = paper::Colour{0x000000, 0.14};
      path.title = "1-sigma of the declination";
      out_.add(std::move(path));
      i = j;
    }
  }
  void settings() {
    for (std::size_t k = 0; k < sheet_.settings.size(); ++k) {
      const Leg& leg = sheet_.settings[k];
      const double from = px(x_[leg.first]), to = std::max(px(x_[leg.last]), from + 6);
      const double d = level(leg), half = sheet_.rules.tolerance_deg;
      line({from, py(d)}, {to, py(d)}, 3);
      for (const double side : {d - half, d + half}) line({from, py(side)}, {to, py(side)}, 1, {5, 4});
      if (k > 0) line({from, kTop}, {from, kHeight - kBottom}, 1, {2, 4});
      const std::string text =
          degrees(leg.stretch.setting.set_to_deg, instrument::decimals_of(sheet_.rules.circle.graduation_deg));
      if (to - from > paper::text_width(text, kType) || sheet_.settings.size() <= 6)
        label({std::min((from + to) / 2, kWidth - kRight - 24), py(d) - 11}, text, Anchor::middle, kType, true);
    }
  }
  void curve() {
    if (d_.size() < 2) return;
    Path path;
    path.stroke = Stroke{paper::kBlack, 1.8, {}};
    if (!sheet_.rules.legs) path.stroke = Stroke{paper::kBlack, 0.8, {1.5, 3}};  // nothing was looked at between them
    std::vector<Point> points;
    for (std::size_t i = 0; i < d_.size(); ++i) points.push_back(at(i));
    path.polyline(points);
    path.title = "declination";
    out_.add(std::move(path));
  }
  void stops() {
    double taken = -1e9;
    const bool few = sheet_.stops.size() <= kLabelled;
    for (std::size_t s = 0; s < sheet_.stops.size(); ++s) {
      const Point where = at(sheet_.sample_of_stop[s]);
      if (few || !sheet_.rules.legs) {
        Path dot;
        dot.circle(where, few ? 4 : 2);
        dot.fill.colour = paper::kBlack;
        dot.title = sheet_.stops[s].label + ", " + sheet_.stops[s].date.iso;
        out_.add(std::move(dot));
      }
      if (!few) continue;
      const std::string& text = sheet_.stops[s].label;
      const double half = paper::text_width(text, kType) / 2;
      const double x = std::clamp(where.x, 4 + half, std::max(4 + half, kWidth - 4 - half));
      if (x - half < taken + 8) continue;
      taken = x + half;
      label({x, kHeight - kBottom + 40}, text, Anchor::middle);
    }
  }
  void caption() {
    label({kLeft, 22}, "Declination along the route: the curve, its 1-sigma (grey)", Anchor::start, 17);
    label({kLeft, 44},
          std::string(sheet_.rules.circle.turnable ? "Thick: what to set" : "Thick: what to add") +
              "; dashed: within " + format_trimmed(sheet_.rules.tolerance_deg) +
              "\u00B0 of it; dotted upright: set anew; " + sheet_.models(),
          Anchor::start);
  }

  const Sheet& sheet_;
  Drawing out_;
  bool by_km_ = true;
  std::vector<double> d_, x_;
  double x_low_ = 0, x_high_ = 1, low_ = 0, high_ = 0;
};

}  // namespace

Result<std::string> profile_svg(const Sheet& sheet) { return paper::to_svg(Profile(sheet).drawing()); }

}  // namespace agonic::route
