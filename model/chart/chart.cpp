#include "model/chart/chart.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

Result<double> number(std::string_view field, std::string_view text, double least, double most, std::string_view what) {
  const auto value = parse_number(text);
  if (!value)
    return Problem{Code::not_a_number, std::string(field), std::string(text), std::string(what) + " is a number",
                   "Give it as a decimal number"};
  if (!(*value >= least && *value <= most))
    return Problem{Code::out_of_range, std::string(field), std::string(text),
                   std::string(what) + " lies from " + format_trimmed(least, 4) + " to " + format_trimmed(most, 4),
                   "Give another one"};
  return *value;
}

Result<std::optional<double>> step_of(const Parameters& parameters) {
  const auto step = parameters.get("step_deg"), zoom = parameters.get("zoom");
  if (step && zoom)
    return Problem{Code::contradiction, "zoom", std::string(*zoom), "zoom and step_deg are both given",
                   "Give one of them"};
  if (step) {
    const auto value = number("step_deg", *step, kLeastStepDeg, kMostStepDeg, "the step of the grid in degrees");
    if (!value) return value.problem();
    return std::optional(*value);
  }
  if (!zoom) return std::optional<double>();
  constexpr double kMostZoom = 14, kTile = 256, kPixels = 4, kCoarsest = 2;
  const auto level = number("zoom", *zoom, 0, kMostZoom, "a zoom level");
  if (!level) return level.problem();
  return std::optional(std::min(kCoarsest, std::max(kLeastStepDeg, 360 / (kTile * std::exp2(*level)) * kPixels)));
}

std::vector<double> weights(const Part& part) {
  std::vector<double> out;
  out.reserve(part.lat_deg.size() * part.lon_deg.size());
  for (const double lat : part.lat_deg)
    out.insert(out.end(), part.lon_deg.size(), std::max(0.0, std::cos(lat * std::numbers::pi / 180)));
  return out;
}

// The least and the most of a quantity where the needle is usable.
std::optional<Chart::Range> range(const Chart& chart, Quantity quantity) {
  std::optional<Chart::Range> out;
  for (const Sheet& sheet : chart.sheets) {
    for (std::size_t i = 0; i < sheet.samples.size(); ++i) {
      const Sample sample = at(sheet.samples, i);
      if (sample.horizontal() < field::kNeedleCautionNt) continue;
      const double here = value(chart.source, quantity, sample);
      if (!out) out = Chart::Range{here, here};
      out->least = std::min(out->least, here);
      out->most = std::max(out->most, here);
    }
  }
  return out;
}

std::optional<Problem> too_large(const Query& query, double step) {
  const std::size_t nodes = rows(query.box, step).size() * columns(query.box, step).size();
  if (nodes <= kMostNodes) return std::nullopt;
  return Problem{Code::out_of_range, "step_deg", format_trimmed(step, 4),
                 "the grid would have " + std::to_string(nodes) + " nodes, and at most " + std::to_string(kMostNodes) +
                     " are worked",
                 "Ask for a larger step or a smaller box"};
}

std::string size_of(double degrees) { return format_fixed(degrees, degrees < 10 ? 1 : 0); }
std::string span_of(const Chart::Range& range) {
  const std::string least = size_of(range.least), most = size_of(range.most);
  return least == most ? least : least + " to " + most;
}

}  // namespace

const std::string_view kCaution =
    "A model does not know local rock, iron or storms: check against a line of known azimuth or the sun. Not for "
    "navigation "
    "where life depends on it without an independent check.";

Result<Query> parse_query(const Parameters& parameters, std::chrono::sys_days today) {
  Query query;
  DateContext dates{today};
  dates.may_lie_ahead = true;
  if (const auto text = parameters.get("date_order")) {
    const auto order = parse_date_order(*text);
    if (!order) return order.problem();
    dates.order = *order;
  }
  if (const auto text = parameters.get("bbox")) {
    const auto box = parse_box(*text);
    if (!box) return box.problem();
    query.box = *box;
  }
  if (const auto text = parameters.get("quantity")) {
    const auto quantity = parse_quantity(*text);
    if (!quantity) return quantity.problem();
    query.quantity = *quantity;
  }
  const auto date_text = parameters.get("date").value_or("");
  auto date = parse_date(date_text, dates);
  if (!date) {
    if (date.problem().code == Code::date_missing)
      date.problem().remedy = "Give the date of the chart, as 2028-07-04 or 1750, or the word today";
    return date.problem();
  }
  query.date = *std::move(date);
  query.is_today = lower(date_text).find("today") != std::string::npos;
  query.model = lower(parameters.get("model").value_or("auto"));
  if (const auto text = parameters.get("height_m")) {
    const auto height = number("height_m", *text, -10000, 850000, "a height in metres");
    if (!height) return height.problem();
    query.height_m = *height;
  }
  if (const auto text = parameters.get("width_px")) {
    const auto width = number("width_px", *text, kLeastWidthPx, kMostWidthPx, "the width of a picture in pixels");
    if (!width) return width.problem();
    query.width_px = *width;
  }
  const auto step = step_of(parameters);
  if (!step) return step.problem();
  query.step_deg = *step;
  if (const auto text = parameters.get("interval")) {
    const auto interval = number("interval", *text, least_interval(query.quantity), most_interval(query.quantity),
                                 "the interval between lines, in " + std::string(unit(query.quantity)) + ",");
    if (!interval) return interval.problem();
    query.interval = *interval;
  }
  return query;
}

Result<Chart> chart(const field::Catalogue& catalogue, const Query& query, Fineness fineness) {
  Chart out;
  out.query = query;
  out.step_deg = query.step_deg.value_or(good_step(query.box));
  if (auto problem = too_large(query, out.step_deg)) return *std::move(problem);
  const auto choice = catalogue.choose(query.model, query.date.decimal_year);
  if (!choice) {
    Problem problem = choice.problem();
    if (problem.code == Code::date_outside_models) problem.field = "date", problem.value = query.date.iso;
    return problem;
  }
  out.source = {choice->model, query.date.decimal_year, query.height_m, choice->neighbour, choice->seam_year};

  std::vector<Samples> samples;
  std::vector<std::vector<double>> weight;
  for (Part& part : parts(query.box, out.step_deg)) {
    samples.emplace_back();
    sample_grid(out.source, part.lat_deg, part.lon_deg, samples.back());
    weight.push_back(weights(part));
    out.sheets.push_back({std::move(part), {}, {}, {}, {}});
  }
  out.interval = query.interval.value_or(good_interval(out.source, samples, weight, query.quantity));
  out.levels = levels_of(out.source, samples, query.quantity, out.interval);
  if (out.levels.size() > kMostLevels) {
    return Problem{Code::out_of_range, "interval", format_trimmed(out.interval, 4),
                   "there would be more than " + std::to_string(kMostLevels) + " different lines",
                   "Ask for a larger interval or a smaller box"};
  }
  for (std::size_t i = 0; i < out.sheets.size(); ++i) {
    Sheet& sheet = out.sheets[i];
    sheet.samples = std::move(samples[i]);
    auto lines = isolines(out.source, sheet.part, sheet.samples, query.quantity, out.levels, fineness);
    if (!lines) return lines.problem();
    sheet.lines = *std::move(lines);
    sheet.unusable = zone(out.source, sheet.part, sheet.samples, 0, field::kNeedleUnusableNt);
    sheet.caution = zone(out.source, sheet.part, sheet.samples, field::kNeedleUnusableNt, field::kNeedleCautionNt);
  }
  out.sigma_deg = range(out, Quantity::declination_sigma);
  out.half_width_95_deg = range(out, Quantity::declination_95);
  if (!query.date.note.empty()) out.notes.push_back("Date: " + query.date.note + ".");
  if (choice->neighbour != nullptr)
    out.notes.push_back("The date lies within a year of the join of " + choice->model->id + " and " +
                        choice->neighbour->id + " at " + format_fixed(choice->seam_year, 1) +
                        ": their step in declination is part of the uncertainty.");
  return out;
}

std::string uncertainty_note(const Chart& chart) {
  if (!chart.sigma_deg)
    return "Nowhere on this chart is a needle usable: the horizontal intensity stays below 6000 nT.";
  return "Where a needle is usable the declination is uncertain by " + span_of(*chart.sigma_deg) +
         " degrees (1-sigma); at one quiet site in twenty the ground differs by more than " +
         span_of(*chart.half_width_95_deg) + " degrees. Daily swing and storms come on top.";
}

}  // namespace agonic::chart
