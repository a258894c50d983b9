#include "model/chart/legend.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "model/chart/style.hpp"
#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

using paper::Label;
using paper::Path;
using paper::Point;

bool has_sides(Quantity quantity) {
  return quantity == Quantity::declination || quantity == Quantity::declination_change ||
         quantity == Quantity::inclination;
}

std::string every(const Chart& chart) {
  const double interval = chart.interval;
  std::string amount = format_trimmed(interval, 4);
  const std::string_view unit_name = unit(chart.query.quantity);
  if (unit_name == "nT") return amount + " nT";
  const std::string of = interval == 1 ? " degree" : " degrees";
  return amount + of + (unit_name == "degrees" ? "" : " a year");
}

std::string subtitle(const Chart& chart) {
  const field::CoefficientSet& model = *chart.source.model;
  std::string lines(lines_name(chart.query.quantity));
  lines.front() = static_cast<char>(lines.front() - 'a' + 'A');
  std::string text = lines + " every " + every(chart) + ". Model " + model.id + " (" + model.title + "), valid " +
                     format_fixed(model.valid_from, 1) + " to " + format_fixed(model.valid_to, 1) + ", at ";
  text += chart.query.height_m == 0 ? "sea level." : format_trimmed(chart.query.height_m, 1) + " m.";
  return text;
}

constexpr double kHeadingLine = 42, kUnderHeading = 23, kLeading = 1.42;

// One entry of the legend: a sample 34 wide and its words.
struct Entry {
  std::string text;
  std::function<void(Path&, Point)> sample;
};
constexpr double kSample = 36, kSampleHeight = 12, kBetween = 20;

Entry line_entry(std::string text, const paper::Stroke& pen) {
  return {std::move(text), [pen](Path& path, Point at) {
            path.stroke = pen;
            path.move_to({at.x, at.y}).line_to({at.x + kSample, at.y});
          }};
}
Entry hatch_entry(std::string text, const paper::Hatch& hatch) {
  return {std::move(text), [hatch](Path& path, Point at) {
            path.rectangle({at.x, at.y - kSampleHeight / 2, kSample, kSampleHeight});
            path.fill.hatch = hatch;
            path.stroke = paper::Stroke{kInk, 0.5, {}};
          }};
}

std::vector<Entry> entries(const Chart& chart) {
  std::vector<Entry> out;
  const Quantity quantity = chart.query.quantity;
  const auto pen = [&](double level) { return line_pen(quantity, level, false); };
  const bool zero = std::find(chart.levels.begin(), chart.levels.end(), 0.0) != chart.levels.end();
  const bool above = !chart.levels.empty() && chart.levels.back() > 0,
             below = !chart.levels.empty() && chart.levels.front() < 0;
  switch (quantity) {
    case Quantity::declination:
      if (zero) out.push_back(line_entry("agonic line, D = 0", pen(0)));
      if (above) out.push_back(line_entry("D east", pen(1)));
      if (below) out.push_back(line_entry("D west", pen(-1)));
      break;
    case Quantity::declination_change:
      if (zero) out.push_back(line_entry("no change", pen(0)));
      if (above) out.push_back(line_entry("moving east", pen(1)));
      if (below) out.push_back(line_entry("moving west", pen(-1)));
      break;
    case Quantity::inclination:
      if (zero) out.push_back(line_entry("magnetic equator, I = 0", pen(0)));
      if (above) out.push_back(line_entry("north end dips", pen(1)));
      if (below) out.push_back(line_entry("south end dips", pen(-1)));
      break;
    default:
      out.push_back(line_entry(std::string(title(quantity)) + ", " + std::string(unit(quantity)), pen(1)));
  }
  const auto any = [&](std::vector<Polygon> Sheet::*which) {
    return std::any_of(chart.sheets.begin(), chart.sheets.end(),
                       [&](const Sheet& sheet) { return !(sheet.*which).empty(); });
  };
  if (any(&Sheet::caution)) out.push_back(hatch_entry("needle weak: H 2000 to 6000 nT", kCautionHatch));
  if (any(&Sheet::unusable)) out.push_back(hatch_entry("no needle works: H below 2000 nT", kUnusableHatch));
  return out;
}

void write(paper::Drawing& page, std::string text, Point at, double size, paper::Colour colour, paper::Weight weight,
           std::string name) {
  Label label;
  label.text = std::move(text);
  label.at = at;
  label.size = size;
  label.colour = colour;
  label.weight = weight;
  label.name = std::move(name);
  page.add(std::move(label));
}

double paragraph(paper::Drawing& page, const std::string& text, double left, double right, double y, double size,
                 paper::Colour colour) {
  for (std::string& line : paper::wrap(text, size, right - left)) {
    write(page, std::move(line), {left, y}, size, colour, paper::Weight::normal, "note");
    y += size * kLeading;
  }
  return y;
}

}  // namespace

std::string heading(const Chart& chart) {
  return std::string(title(chart.query.quantity)) + ", " + iso_day(chart.query.date.day);
}

std::string description(const Chart& chart) {
  const Box& box = chart.query.box;
  double east = box.east;
  if (east > 180) east -= 360;
  std::string text = subtitle(chart) + " From latitude " + format_trimmed(box.south) + " to " +
                     format_trimmed(box.north) + " and longitude " + format_trimmed(box.west) + " to " +
                     format_trimmed(east) + " degrees. ";
  if (chart.levels.empty())
    text += "No line crosses the box. ";
  else
    text += "Lines from " + level_text(chart.query.quantity, chart.levels.front(), chart.interval) + " to " +
            level_text(chart.query.quantity, chart.levels.back(), chart.interval) + ". ";
  return text + uncertainty_note(chart) + ' ' + std::string(kCaution);
}

paper::Stroke line_pen(Quantity quantity, double level, bool round) {
  if (!has_sides(quantity)) return {kPlain, round ? kRound : kThin, {}};
  if (level == 0) return {kInk, kZero, {}};
  const paper::Colour colour = quantity == Quantity::inclination ? kPlain : level > 0 ? kEast : kWest;
  return {colour, round ? kRound : kThin, level > 0 ? std::vector<double>{} : std::vector<double>{7, 2.5}};
}

paper::Colour label_colour(Quantity quantity, std::string_view label) {
  if (label == "0°") return kInk;
  if (quantity != Quantity::declination && quantity != Quantity::declination_change) return kPlain;
  return label.ends_with('W') ? kWest : kEast;
}

double head_height(const Chart& chart, double width) {
  const std::size_t lines = paper::wrap(subtitle(chart), kTextSize, width).size();
  return kHeadingLine + kUnderHeading + static_cast<double>(lines) * kTextSize * kLeading + 8;
}

double surround(const Chart& chart, double left, double right, double below, paper::Drawing& page) {
  write(page, heading(chart), {left, kHeadingLine}, kTitleSize, kInk, paper::Weight::bold, "title");
  double y = paragraph(page, subtitle(chart), left, right, kHeadingLine + kUnderHeading, kTextSize, kFaint);

  double x = left;
  y = below;
  for (const Entry& entry : entries(chart)) {
    const double width = kSample + 8 + paper::text_width(entry.text, kTextSize);
    if (x > left && x + width > right) {
      x = left;
      y += kTextSize * 1.9;
    }
    Path sample;
    entry.sample(sample, {x, y});
    sample.name = "legend";
    page.add(std::move(sample));
    write(page, entry.text, {x + kSample + 8, y + kTextSize * 0.36}, kTextSize, kInk, paper::Weight::normal, "legend");
    x += width + kBetween;
  }
  y += kTextSize * 2.4;
  y = paragraph(page, uncertainty_note(chart), left, right, y, kTextSize, kInk);
  for (const std::string& note : chart.notes) y = paragraph(page, note, left, right, y, kTextSize, kInk);
  y = paragraph(page, std::string(kCaution), left, right, y + 4, kTextSize, kInk);
  return y + 8;
}

}  // namespace agonic::chart
