// What a chart shows: the quantities, their units, and how a line of one is written.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::chart {

enum class Quantity {
  declination,         ///< D, degrees, (-180, 180], east positive
  declination_change,  ///< of D, degrees a year, east positive
  declination_sigma,   ///< 1-sigma of D, degrees
  declination_95,      ///< 95 % half-width of D, degrees
  horizontal,          ///< H, nT
  inclination,         ///< I, degrees, down positive
};
inline constexpr int kQuantities = 6;

/// The public word: `declination`, `declination_change`, `declination_sigma`, `declination_95`, `horizontal`,
/// `inclination`.
std::string_view word(Quantity quantity) noexcept;
/// Refuses any other word with Code::unknown_name.
Result<Quantity> parse_quantity(std::string_view text);

/// What it is in words, as in a title: "Declination".
std::string_view title(Quantity quantity) noexcept;
/// What its lines are called: "isogonic lines", "lines of equal horizontal intensity".
std::string_view lines_name(Quantity quantity) noexcept;
/// The name of the quantity as answers carry it, unit included: "declination_deg".
std::string_view field_name(Quantity quantity) noexcept;
/// "degrees", "degrees a year", "nT".
std::string_view unit(Quantity quantity) noexcept;

/// A line's label: "10°E", "0°", "0.1°W", "24000", "-60°". @param interval from line to line: as many decimals as it
/// has
std::string level_text(Quantity quantity, double level, double interval);

/// Intervals between lines that read well, ascending.
std::vector<double> good_intervals(Quantity quantity);
/// The smallest and largest interval that may be asked for, in the unit.
double least_interval(Quantity quantity) noexcept;
double most_interval(Quantity quantity) noexcept;

}  // namespace agonic::chart
