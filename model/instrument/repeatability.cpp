// Pooled within the lines: s^2 = sum of (reading - mean of its line)^2 / (readings - lines). If sigma is true,
// dof s^2 / sigma^2 is chi-square with dof degrees of freedom.
#include "model/instrument/repeatability.hpp"

#include <cmath>
#include <map>
#include <vector>

#include "model/instrument/distributions.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {

std::optional<Repeatability> repeatability(std::span<const RepeatedReading> readings, std::optional<double> stated) {
  constexpr double kConfidence = 0.95;
  std::map<std::string, std::vector<double>> by_line;
  for (const RepeatedReading& r : readings) by_line[r.line].push_back(r.azimuth_deg);
  Repeatability out;
  double squares = 0;
  for (const auto& [line, azimuths] : by_line) {
    if (azimuths.size() < 2) continue;
    ++out.lines;
    out.readings += azimuths.size();
    double sum = 0, sum_of_squares = 0;
    for (const double azimuth : azimuths) {
      const double off = wrap_180(azimuth - azimuths.front());  // readings of one line lie together
      sum += off;
      sum_of_squares += off * off;
    }
    squares += sum_of_squares - sum * sum / static_cast<double>(azimuths.size());
  }
  if (out.lines == 0) return std::nullopt;
  out.dof = static_cast<int>(out.readings - out.lines);
  const double dof = out.dof;
  out.s_deg = std::sqrt(std::max(squares, 0.0) / dof);
  out.s_low_deg = out.s_deg * std::sqrt(dof / chi_square_quantile((1 + kConfidence) / 2, dof));
  out.s_high_deg = out.s_deg * std::sqrt(dof / chi_square_quantile((1 - kConfidence) / 2, dof));
  out.statement = "One reading repeats to " + format_fixed(out.s_deg, 2) + " degrees (1-sigma, " +
                  std::to_string(out.dof) + " degrees of freedom; 95 percent interval " +
                  format_fixed(out.s_low_deg, 2) + " to " + format_fixed(out.s_high_deg, 2) + ")";
  if (stated) {
    out.stated_deg = stated;
    out.limit_deg = *stated * std::sqrt(chi_square_quantile(kConfidence, dof) / dof);
    out.as_stated = out.s_deg <= *out.limit_deg;
    out.statement += out.as_stated ? "; that agrees with the stated " : "; that is more than the stated ";
    out.statement += format_trimmed(*stated, 2) + " (it may reach " + format_fixed(*out.limit_deg, 2) +
                     " at 95 percent, chi-square)";
  }
  out.statement += ".";
  return out;
}

}  // namespace agonic::instrument
