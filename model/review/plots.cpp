#include "model/review/plots.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "model/review/measure.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

using paper::Anchor;
using paper::Colour;
using paper::Drawing;
using paper::Label;
using paper::Level;
using paper::Path;
using paper::Point;
using paper::Stroke;

// On light paper; the page's style sheet changes them by their names where it is dark.
constexpr Colour kInk{0x1B1F24}, kMuted{0x59636E}, kGrid{0xD5DAE0}, kFirst{0x1F5F8B}, kSecond{0xB4501E};
constexpr double kType = 13, kSmall = 12;

Drawing sheet(double width, double height, std::string title, std::string description) {
  Drawing drawing;
  drawing.width = width;
  drawing.height = height;
  drawing.unit = paper::Unit::px;
  drawing.background.reset();
  drawing.title = std::move(title);
  drawing.description = std::move(description);
  return drawing;
}

void line(Drawing& drawing, Point from, Point to, const char* name, Colour colour, double width,
          std::vector<double> dash = {}) {
  Path path;
  path.move_to(from).line_to(to);
  path.stroke = Stroke{colour, width, std::move(dash)};
  path.name = name;
  drawing.add(std::move(path));
}

void text(Drawing& drawing, Point at, std::string words, Anchor anchor, const char* name = "ink", Colour colour = kInk,
          double size = kType, paper::Weight weight = paper::Weight::normal) {
  Label label;
  label.at = at;
  label.text = std::move(words);
  label.size = size;
  label.anchor = anchor;
  label.level = Level::middle;
  label.weight = weight;
  label.colour = colour;
  label.name = name;
  drawing.add(std::move(label));
}

// Steps of 1, 2 or 5 that cut `range` into about `parts`.
double step_for(double range, int parts) {
  const double rough = std::max(range, 1e-9) / parts;
  const double power = std::pow(10, std::floor(std::log10(rough)));
  for (const double step : {1.0, 2.0, 5.0})
    if (step * power >= rough * 0.999) return step * power;
  return 10 * power;
}

std::string east_west(double degrees) {
  const std::string size = format_trimmed(std::abs(degrees), 2);
  return size == "0" ? "0" : size + (degrees > 0 ? "° E" : "° W");
}

}  // namespace

std::optional<Drawing> rose(const Report& report, bool as_read) {
  constexpr int kSectors = 36;
  constexpr double kSide = 320, kRadius = 118, kMiddle = kSide / 2;
  std::array<double, kSectors> counts{};
  std::size_t azimuths = 0;
  const auto add = [&](double azimuth) { ++counts[static_cast<std::size_t>(wrap_360(azimuth) / 10) % kSectors]; };
  for (const Entry& e : report.notebook.entries) {
    if (!has(e.azimuth_true)) continue;
    const bool plane = e.kind == reading::Kind::plane;
    // As read, a plane is turned like its azimuth, so that both roses show the same thing.
    const double truth = plane ? e.strike_true : e.azimuth_true;
    const double azimuth = as_read ? truth - (has(e.correction) ? e.correction : 0) : truth;
    add(azimuth);
    if (plane) add(azimuth + 180);
    ++azimuths;
  }
  if (azimuths == 0) return std::nullopt;
  const double most = *std::max_element(counts.begin(), counts.end());
  const auto best = static_cast<int>(std::max_element(counts.begin(), counts.end()) - counts.begin());
  Drawing drawing =
      sheet(kSide, kSide, as_read ? "As read" : "From true north",
            "Rose of " + std::to_string(azimuths) + " azimuths " + (as_read ? "as read" : "from true north") +
                " in sectors of 10 degrees; the largest, " + std::to_string(best * 10) + " to " +
                std::to_string(best * 10 + 10) + ", holds " + format_fixed(most, 0) + ".");
  for (const double part : {0.25, 0.5, 0.75, 1.0}) {
    Path ring;
    ring.circle({kMiddle, kMiddle}, kRadius * std::sqrt(part));
    ring.stroke = Stroke{kGrid, 1, {}};
    ring.name = "grid";
    drawing.add(std::move(ring));
  }
  for (int tick = 0; tick < 36; ++tick) {
    const double a = tick * 10, in = tick % 9 == 0 ? 0 : kRadius, out = kRadius + (tick % 9 == 0 ? 6 : 3);
    line(drawing, {kMiddle + in * sin_deg(a), kMiddle - in * cos_deg(a)},
         {kMiddle + out * sin_deg(a), kMiddle - out * cos_deg(a)}, "grid", kGrid, 1);
  }
  for (int s = 0; s < kSectors; ++s) {
    const double n = counts[static_cast<std::size_t>(s)];
    if (n == 0) continue;
    Path sector;
    const double r = kRadius * std::sqrt(n / most), a = s * 10;
    sector.move_to({kMiddle, kMiddle});
    sector.line_to({kMiddle + r * sin_deg(a), kMiddle - r * cos_deg(a)});
    for (int part = 1; part <= 5; ++part)
      sector.line_to({kMiddle + r * sin_deg(a + 2 * part), kMiddle - r * cos_deg(a + 2 * part)});
    sector.close();
    sector.fill.colour = Colour{as_read ? kSecond.rgb : kFirst.rgb, 0.75};
    sector.stroke = Stroke{as_read ? kSecond : kFirst, 0.8, {}};
    sector.name = as_read ? "second" : "first";
    sector.title = std::to_string(s * 10) + " to " + std::to_string(s * 10 + 10) + ": " + format_fixed(n, 0);
    drawing.add(std::move(sector));
  }
  text(drawing, {kMiddle, kMiddle - kRadius - 18}, "N", Anchor::middle, "ink", kInk, 15, paper::Weight::bold);
  text(drawing, {kMiddle + kRadius + 18, kMiddle}, "E", Anchor::middle);
  text(drawing, {kMiddle, kMiddle + kRadius + 18}, "S", Anchor::middle);
  text(drawing, {kMiddle - kRadius - 18, kMiddle}, "W", Anchor::middle);
  text(drawing, {4, kSide - 8}, "outer ring: " + format_fixed(most, 0), Anchor::start, "muted", kMuted, kSmall);
  return drawing;
}

std::optional<Drawing> declination_over_time(const Report& report) {
  constexpr double kWidth = 720, kHeight = 330, kLeft = 66, kRight = 14, kTop = 40, kBottom = 34;
  struct Dot {
    double year, value;
    bool set;
  };
  std::vector<Dot> dots;
  Range years, values;
  bool any_set = false;
  for (const Entry& e : report.notebook.entries) {
    if (!has(e.year) || !has(e.declination)) continue;
    const auto add = [&](double value, bool set) {
      dots.push_back({e.year, value, set});
      years.add(e.year);
      values.add(value);
    };
    // A misplaced row would squeeze all others into a line.
    if (!report.declination.empty() &&
        (e.declination < report.declination.low || e.declination > report.declination.high))
      continue;
    add(e.declination, false);
    const double other = has(e.applied) ? e.applied : e.set;
    // Not set says nothing of the declination, and its zero would squeeze what does.
    if (has(other) && other != 0 && std::abs(other) < 90) {
      add(other, true);
      any_set = true;
    }
  }
  if (dots.empty()) return std::nullopt;
  const double year_step = std::max(1.0, step_for(std::max(1.0, years.width()), 8));
  const double from = std::floor(years.low), to = std::max(from + 1, std::ceil(years.high));
  const double step = step_for(std::max(1.0, values.width()), 6);
  const double low = std::floor(values.low / step) * step,
               high = std::max(low + step, std::ceil(values.high / step) * step);
  const auto x = [&](double year) { return kLeft + (year - from) / (to - from) * (kWidth - kLeft - kRight); };
  const auto y = [&](double value) { return kTop + (high - value) / (high - low) * (kHeight - kTop - kBottom); };
  Drawing drawing = sheet(kWidth, kHeight, "Declination over time",
                          "Declination at place and date of each row, from " + east_west(report.declination.low) +
                              " to " + east_west(report.declination.high) + ", " + format_fixed(from, 0) + " to " +
                              format_fixed(to, 0) + (any_set ? "; beside it what was set or applied." : "."));
  for (double value = low; value <= high + step / 2; value += step) {
    const double rounded = std::abs(value) < step / 1e6 ? 0 : value;
    line(drawing, {kLeft, y(value)}, {kWidth - kRight, y(value)}, rounded == 0 ? "axis" : "grid",
         rounded == 0 ? kMuted : kGrid, 1);
    text(drawing, {kLeft - 8, y(value)}, east_west(rounded), Anchor::end, "muted", kMuted, kSmall);
  }
  for (double year = std::ceil(from / year_step) * year_step; year <= to + 1e-9; year += year_step)
    text(drawing, {std::min(x(year), kWidth - kRight - 14), kHeight - 14}, format_fixed(year, 0), Anchor::middle,
         "muted", kMuted, kSmall);
  std::set<std::array<long, 3>> drawn;
  for (const bool set : {true, false})
    for (const Dot& dot : dots) {
      if (dot.set != set) continue;
      const double px = x(dot.year), py = y(dot.value);
      if (!drawn.insert({std::lround(px), std::lround(py), set ? 1L : 0L}).second) continue;
      Path mark;
      if (set)
        mark.rectangle({px - 3.5, py - 3.5, 7, 7});
      else
        mark.circle({px, py}, 3);
      if (set)
        mark.stroke = Stroke{kSecond, 1.5, {}};
      else
        mark.fill.colour = kFirst;
      mark.name = set ? "second-line" : "first";
      drawing.add(std::move(mark));
    }
  Path dot;
  dot.circle({kLeft + 6, 16}, 3.5);
  dot.fill.colour = kFirst;
  dot.name = "first";
  drawing.add(std::move(dot));
  text(drawing, {kLeft + 16, 16}, "declination of the row", Anchor::start);
  if (any_set) {
    Path box;
    box.rectangle({kLeft + 190, 12.5, 7, 7});
    box.stroke = Stroke{kSecond, 1.5, {}};
    box.name = "second-line";
    drawing.add(std::move(box));
    text(drawing, {kLeft + 204, 16}, "what was set or applied", Anchor::start);
  }
  return drawing;
}

std::optional<Drawing> residuals_by_group(const Report& report) {
  constexpr double kWidth = 720, kRow = 34, kLeft = 190, kRight = 18, kTop = 44, kBottom = 34;
  constexpr std::size_t kMostGroups = 24;
  const Notebook& book = report.notebook;
  for (const Factor factor :
       {Factor::instrument, Factor::observer, Factor::custom, Factor::sheet, Factor::year, Factor::setting}) {
    const auto f = static_cast<std::size_t>(factor);
    std::map<std::string, std::vector<double>> groups;
    std::vector<double> sizes;
    for (const Residual& r : report.residuals) {
      const NameId name = book.entries[r.entry].group[f];
      if (name == 0) continue;
      groups[book.names.text(name)].push_back(r.degrees);
      sizes.push_back(std::abs(r.degrees));
    }
    if (groups.size() < 2) continue;
    std::sort(sizes.begin(), sizes.end());
    const double d = std::abs(report.median_declination);
    const double reach = std::clamp(std::max(sizes[sizes.size() * 98 / 100] * 1.15, 2.6 * d), 5.0, 60.0);
    const std::size_t shown = std::min(groups.size(), kMostGroups);
    const double height = kTop + kBottom + kRow * static_cast<double>(shown);
    const double middle = kLeft + (kWidth - kLeft - kRight) / 2, scale = (kWidth - kLeft - kRight) / 2 / reach;
    Drawing drawing = sheet(kWidth, height, "Residuals by " + book.factor_names[f],
                            "How far each reading stands from the mean of its line, clockwise to the right, by " +
                                book.factor_names[f] + "; the bar is each group's median.");
    const double bottom = height - kBottom;
    const double step = step_for(2 * reach, 8);
    for (double value = -std::floor(reach / step) * step; value <= reach; value += step) {
      line(drawing, {middle + value * scale, kTop}, {middle + value * scale, bottom},
           std::abs(value) < 1e-9 ? "axis" : "grid", std::abs(value) < 1e-9 ? kMuted : kGrid, 1);
      text(drawing, {middle + value * scale, bottom + 16}, format_trimmed(std::abs(value) < 1e-9 ? 0 : value, 1) + "°",
           Anchor::middle, "muted", kMuted, kSmall);
    }
    if (d >= 1 && d * scale > 26)
      for (const int times : {-2, -1, 1, 2}) {
        const double at = middle + times * d * scale;
        if (at < kLeft || at > kWidth - kRight) continue;
        line(drawing, {at, kTop - 8}, {at, bottom}, "second-line", kSecond, 1.2, {5, 4});
        text(drawing, {at, kTop - 18}, std::string(times < 0 ? "−" : "+") + (std::abs(times) == 2 ? "2D" : "D"),
             Anchor::middle, "second", kSecond, kSmall);
      }
    std::size_t number = 0;
    for (auto& [name, values] : groups) {
      if (number == shown) break;
      const double y = kTop + kRow * (static_cast<double>(number++) + 0.5);
      std::string words = printable(name, 40);
      while (paper::text_width(words, kType) > kLeft - 64 && words.size() > 3) words.pop_back();
      text(drawing, {kLeft - 54, y}, words, Anchor::end);
      text(drawing, {kLeft - 10, y}, std::to_string(values.size()), Anchor::end, "muted", kMuted, kSmall);
      std::set<std::pair<long, int>> drawn;
      int side = 0;
      for (const double value : values) {
        const double px = middle + std::clamp(value, -reach, reach) * scale;
        const int lane = side++ % 5 - 2;
        if (!drawn.insert({std::lround(px), lane}).second) continue;
        Path mark;
        mark.circle({px, y + 3.2 * lane}, 2.6);
        mark.fill.colour = Colour{kFirst.rgb, 0.65};
        mark.name = "first";
        drawing.add(std::move(mark));
      }
      std::sort(values.begin(), values.end());
      const double median = middle + std::clamp(values[values.size() / 2], -reach, reach) * scale;
      line(drawing, {median, y - 12}, {median, y + 12}, "ink-line", kInk, 2.5);
    }
    return drawing;
  }
  return std::nullopt;
}

}  // namespace agonic::review
