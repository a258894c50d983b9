#include "model/reading/plane.hpp"

#include <cmath>

#include "model/reading/checks.hpp"
#include "model/units/number.hpp"

namespace agonic::reading {
namespace {

// Distance of a direction from an axis, [0, 90].
double from_axis(double direction_deg, double axis_deg) {
  const double off = std::abs(wrap_180(direction_deg - axis_deg));
  return std::min(off, 180 - off);
}

Problem letter_problem(Code code, const Reading& reading, std::string message, std::string remedy) {
  const std::string value =
      format_trimmed(reading.dip_deg.value_or(0)) + std::string(nearest_point(*reading.dip_toward_deg));
  return {code, "dip", value, std::move(message), std::move(remedy)};
}

}  // namespace

Result<std::optional<double>> dip_direction_offset(const Reading& reading) {
  const double azimuth = reading.azimuth.degrees;
  std::optional<double> offset;
  switch (reading.convention) {
    case PlaneConvention::right_hand:
      offset = 90;
      break;
    case PlaneConvention::left_hand:
      offset = -90;
      break;
    case PlaneConvention::dip_direction:
      offset = 0;
      break;
    case PlaneConvention::quadrant:
      break;
  }
  if (reading.dip_toward_deg) {
    const double toward = *reading.dip_toward_deg;
    const double strike = reading.convention == PlaneConvention::dip_direction ? azimuth + 90 : azimuth;
    if (from_axis(toward, strike) <= threshold::kDipLetterDeg)
      return letter_problem(Code::dip_letter_along_strike, reading,
                            "the dip letter lies along the strike " + format_azimuth(wrap_360(strike), 1),
                            "Look up the strike and the letter in the notebook");
    if (!offset)
      offset = std::abs(wrap_180(toward - (azimuth + 90))) < 90 ? 90 : -90;
    else if (std::abs(wrap_180(toward - (azimuth + *offset))) >= 90)
      return letter_problem(Code::dip_letter_contradicts, reading,
                            "the dip letter points away from the declared dip direction " +
                                format_azimuth(wrap_360(azimuth + *offset), 1),
                            "Check plane_convention; with a letter on every dip, quadrant serves");
    return offset;
  }
  if (!offset && reading.dip_deg) {
    // Upright or level, either side describes the same plane.
    if ((*reading.dip_deg == 90 || *reading.dip_deg == 0) && reading.dip_index_error == 0)
      return std::optional<double>(90);
    return Problem{Code::missing_value, "dip", format_trimmed(*reading.dip_deg),
                   "a strike in quadrant notation needs the side its dip points to",
                   "Write the dip as 40SE, or declare plane_convention right_hand or left_hand"};
  }
  return offset;
}

Result<double> rake_from_right_hand_strike(const LetteredAngle& rake, double right_hand_strike_deg,
                                           std::string_view raw) {
  if (rake.degrees < 0 || std::signbit(rake.degrees) || rake.degrees > 180)
    return Problem{Code::reading_out_of_range, "rake", std::string(raw),
                   "a rake lies between 0 and 180, downward in the plane",
                   rake.degrees < 0 ? "Negative rakes mean different things to different people: give the angle from "
                                      "the right-hand strike down to the line, 0 to 180"
                                    : "Look it up in the notebook"};
  if (!rake.toward_deg) return rake.degrees;
  const double off = std::abs(wrap_180(*rake.toward_deg - right_hand_strike_deg));
  if (std::abs(off - 90) < threshold::kDipLetterDeg)
    return Problem{Code::contradiction, "rake", std::string(raw),
                   "its letter points across the strike, so that it names no end of it",
                   "Give the letter of the strike end it was measured from"};
  return off < 90 ? rake.degrees : 180 - rake.degrees;
}

LineInPlane line_in_plane(double right_hand_strike_deg, double dip_deg, double rake_deg) noexcept {
  const double along = cos_deg(rake_deg), across = sin_deg(rake_deg);
  return {wrap_360(right_hand_strike_deg + std::atan2(across * cos_deg(dip_deg), along) / kDegree),
          std::asin(across * sin_deg(dip_deg)) / kDegree};
}

}  // namespace agonic::reading
