#include "model/instrument/index_curve.hpp"

#include <array>
#include <cmath>
#include <string>

#include "model/units/number.hpp"

namespace agonic::instrument {

double IndexCurve::at(double m) const noexcept {
  double index = a;  // a constant adds no rounding of its own
  if (b != 0) index += b * sin_deg(m);
  if (c != 0) index += c * cos_deg(m);
  if (d != 0) index += d * sin_deg(2 * m);
  if (e != 0) index += e * cos_deg(2 * m);
  return index;
}

double IndexCurve::largest() const noexcept { return std::abs(a) + std::hypot(b, c) + std::hypot(d, e); }

std::optional<Solved> solve(const IndexCurve& curve, Azimuth<Circle> reading, CircleSetting set) noexcept {
  if (curve.is_zero()) return Solved{magnetic(reading, set, {}), {}};
  // |d index / dm| bounds the contraction; at 1/2 fifty steps reach 1e-15 of the start.
  const double slope = (std::hypot(curve.b, curve.c) + 2 * std::hypot(curve.d, curve.e)) * kDegree;
  if (!(slope < 0.5) || !std::isfinite(curve.a)) return std::nullopt;
  AzimuthIndexError index{curve.at(reading.degrees() - set.deg)};
  for (int step = 0; step < 60; ++step) {
    const AzimuthIndexError next{curve.at(magnetic(reading, set, index).degrees())};
    const bool settled = std::abs(next.deg - index.deg) < 1e-12;
    index = next;
    if (settled) break;
  }
  return Solved{magnetic(reading, set, index), index};
}

Result<IndexCurve> parse_index_curve(std::string_view raw, char decimal_mark) {
  const auto problem = [&](std::string message) {
    return Problem{Code::not_a_number, "azimuth_index_error", std::string(raw), std::move(message),
                   "Give one number (reading minus truth, degrees) or the five A B C D E separated by spaces"};
  };
  std::array<double, 5> values{};
  std::size_t count = 0;
  for (std::string_view text = trim(raw); !text.empty();) {
    const auto end = text.find_first_of(" \t");
    const auto number = parse_number(text.substr(0, end), decimal_mark);
    if (!number) return problem("this is no number");
    if (count == values.size()) return problem("more than five numbers");
    values[count++] = *number;
    text = end == std::string_view::npos ? std::string_view() : trim(text.substr(end));
  }
  if (count != 1 && count != 5) return problem("an index error is one number or five, not " + std::to_string(count));
  const IndexCurve curve{values[0], values[1], values[2], values[3], values[4]};
  if (curve.largest() > 180)
    return Problem{Code::out_of_range, "azimuth_index_error", std::string(raw),
                   "an index error lies within 180 degrees", "Look it up in the instrument's record"};
  return curve;
}

}  // namespace agonic::instrument
