#include "model/chart/quantity.hpp"

#include <array>
#include <cmath>

#include "model/units/number.hpp"

namespace agonic::chart {
namespace {

struct Row {
  Quantity quantity;
  std::string_view word, title, lines, field, unit;
  double least, most;
};
constexpr std::array<Row, kQuantities> kRows{{
    {Quantity::declination, "declination", "Declination", "isogonic lines", "declination_deg", "degrees", 0.001, 90},
    {Quantity::declination_change, "declination_change", "Yearly change of declination",
     "lines of equal yearly change of declination", "declination_change_deg_per_year", "degrees a year", 0.0001, 10},
    {Quantity::declination_sigma, "declination_sigma", "Uncertainty of declination, 1-sigma",
     "lines of equal uncertainty of declination (1-sigma)", "declination_sigma_deg", "degrees", 0.001, 90},
    {Quantity::declination_95, "declination_95", "Uncertainty of declination, 95 %",
     "lines of equal uncertainty of declination (95 %)", "declination_95_deg", "degrees", 0.001, 90},
    {Quantity::horizontal, "horizontal", "Horizontal intensity", "lines of equal horizontal intensity", "horizontal_nt",
     "nT", 1, 20000},
    {Quantity::inclination, "inclination", "Inclination", "isoclinic lines", "inclination_deg", "degrees", 0.001, 90},
}};
const Row& row(Quantity quantity) noexcept { return kRows[static_cast<std::size_t>(quantity)]; }

// As many decimals as it takes to write the interval, at most 4.
int decimals_of(double interval) {
  for (int decimals = 0; decimals < 4; ++decimals) {
    const double scaled = interval * std::pow(10.0, decimals);
    if (std::fabs(scaled - std::round(scaled)) < 1e-6 * scaled) return decimals;
  }
  return 4;
}

}  // namespace

std::string_view word(Quantity quantity) noexcept { return row(quantity).word; }
std::string_view title(Quantity quantity) noexcept { return row(quantity).title; }
std::string_view lines_name(Quantity quantity) noexcept { return row(quantity).lines; }
std::string_view field_name(Quantity quantity) noexcept { return row(quantity).field; }
std::string_view unit(Quantity quantity) noexcept { return row(quantity).unit; }
double least_interval(Quantity quantity) noexcept { return row(quantity).least; }
double most_interval(Quantity quantity) noexcept { return row(quantity).most; }

Result<Quantity> parse_quantity(std::string_view text) {
  std::string known;
  for (const Row& one : kRows) {
    if (is_word(text, one.word)) return one.quantity;
    known += (known.empty() ? "" : ", ") + std::string(one.word);
  }
  return Problem{Code::unknown_name, "quantity", std::string(text), "no such quantity is charted",
                 "Use one of: " + known};
}

std::string level_text(Quantity quantity, double level, double interval) {
  const int decimals = decimals_of(interval);
  if (quantity == Quantity::horizontal) return format_fixed(level, decimals);
  if (quantity != Quantity::declination && quantity != Quantity::declination_change)
    return format_fixed(level, decimals) + "°";
  if (level == 0) return "0°";
  const std::string size = format_fixed(std::fabs(level), decimals) + "°";
  return quantity == Quantity::declination && std::fabs(level) == 180 ? size : size + (level > 0 ? "E" : "W");
}

std::vector<double> good_intervals(Quantity quantity) {
  switch (quantity) {
    case Quantity::declination:
      return {0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 30};
    case Quantity::declination_change:
      return {0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1};
    case Quantity::horizontal:
      return {10, 20, 50, 100, 200, 500, 1000, 2000, 5000};
    case Quantity::declination_sigma:
    case Quantity::declination_95:
      return {0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5};
    case Quantity::inclination:
      break;
  }
  return {0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10};
}

}  // namespace agonic::chart
