#include "model/reading/correction.hpp"

#include <algorithm>
#include <cmath>

#include "model/reading/checks.hpp"
#include "model/reading/plane.hpp"
#include "model/units/number.hpp"

namespace agonic::reading {
namespace {

constexpr double kUniformSigma = 0.28867513459481287;  // 1 / sqrt(12): of a value spread evenly over one graduation

// An inclined angle carried beyond its end by an index error comes back from there, facing the other way.
bool fold(double& angle, double low) {
  if (angle > 90)
    angle = 180 - angle;
  else if (angle < low)
    angle = 2 * low - angle;
  else
    return false;
  return true;
}

// Up to three decimals in [0, 360).
std::string trimmed_azimuth(double azimuth_deg) {
  const std::string text = format_trimmed(azimuth_deg);
  return text == "360" ? "0" : text;
}

Declination declination_of(const Reading& reading, const Surroundings& around) {
  return reading.site ? *reading.site : Declination{around.field->elements.declination_deg};
}

struct Referred {
  Azimuth<True> azimuth_true;
  std::optional<Azimuth<Magnetic>> sighted;
  std::optional<AzimuthIndexError> index;
};

// The sum itself, before backsights are reversed.
Result<Referred> refer(const Reading& reading, const Surroundings& around) {
  Referred out;
  const double read = reading.azimuth.degrees;
  switch (reading.north) {
    case NorthReference::circle: {
      const auto solved = instrument::solve(reading.azimuth_index, Azimuth<Circle>(read), reading.set);
      if (!solved)
        return Problem{Code::index_curve, "azimuth_index_error", "",
                       "the curve is so steep that a reading does not tell the azimuth",
                       "An instrument like that is magnetised, not calibrated: have it serviced"};
      out.sighted = solved->magnetic;
      out.index = solved->index;
      out.azimuth_true = *out.sighted + declination_of(reading, around);
      return out;
    }
    case NorthReference::magnetic:
      out.sighted = Azimuth<Magnetic>(read);
      out.azimuth_true = *out.sighted + declination_of(reading, around);
      return out;
    case NorthReference::grid:
      if (reading.applied_grid_magnetic) {
        out.sighted = Azimuth<Grid>(read) - *reading.applied_grid_magnetic;
        out.azimuth_true = *out.sighted + declination_of(reading, around);
      } else {
        out.azimuth_true = Azimuth<Grid>(read) + Convergence{around.source_grid->convergence_deg};
      }
      return out;
    case NorthReference::true_north:
      if (reading.applied) {
        out.sighted = Azimuth<True>(read) - Declination{reading.applied->deg};
        out.azimuth_true = *out.sighted + declination_of(reading, around);
      } else {
        out.azimuth_true = Azimuth<True>(read);
      }
      return out;
    case NorthReference::unknown:
      break;
  }
  return Problem{};
}

Problem north_missing(const Reading& reading, const Surroundings& around) {
  const double read = reading.azimuth.degrees;
  std::string message = "it is not said which north the azimuth is referred to";
  if (around.field) {
    const Declination d = declination_of(reading, around);
    message += "; true would be " + format_azimuth(wrap_360(read)) +
               " if it is true already or read off a circle set to the declination, " +
               format_azimuth((Azimuth<Magnetic>(read) + d).degrees()) +
               " if magnetic or read off a circle that was not set";
    if (reading.set_written)
      message += ", " +
                 format_azimuth((magnetic(Azimuth<Circle>(read), {reading.set_written->deg}, {}) + d).degrees()) +
                 " if read off a circle with " + declination_side_text(reading.set_written->deg) + " set";
    if (around.output_grid)
      message += ", " +
                 format_azimuth((Azimuth<Grid>(read) + Convergence{around.output_grid->convergence_deg}).degrees()) +
                 " if grid (" + around.output_grid->name + ")";
  }
  return {Code::north_reference_missing, "north_reference", "", std::move(message),
          "Ask whoever took it, and say circle (with set_declination), magnetic, true or grid"};
}

void fill_inclined(const Reading& reading, Correction& out) {
  if (reading.dip_deg) {
    double dip = *reading.dip_deg - reading.dip_index_error;
    out.turned = fold(dip, 0);
    out.dip = dip;
  }
  if (reading.plunge_deg) {
    // Sighted: an angle read too high is a plunge read too shallow. Laid on the rock: too steep is too steep.
    double plunge = *reading.plunge_deg + reading.vertical_index_error - reading.dip_index_error;
    out.turned = fold(plunge, 0);
    out.plunge = plunge;
  }
  if (reading.vertical_deg) {
    double angle = *reading.vertical_deg - reading.vertical_index_error;
    out.turned = fold(angle, -90);
    out.vertical_angle = reading.backsight ? -angle + 0.0 : angle;
  }
}

void fill_sigma(const Reading& reading, bool declination_used, Correction& out) {
  double square = 0;
  bool known = false;
  const auto add = [&](double sigma) {
    square += sigma * sigma;
    known = true;
  };
  if (declination_used) add(*out.declination_sigma);
  if (reading.azimuth_index_recorded && out.sighted)
    add(reading.instrument->azimuth->covariance.sigma_at(out.sighted->degrees()));
  if (reading.graduation) add(*reading.graduation * kUniformSigma);
  if (reading.reading_sigma) add(*reading.reading_sigma);
  if (reading.kind == Kind::plane && reading.dip_sigma && *reading.dip_sigma > 0 && out.dip) {
    // Cruden and Charlesworth 1976, GSA Bulletin 87, 977: the error of strike is that of dip over sin dip.
    const double sine = sin_deg(*out.dip);
    add(sine > 0 ? *reading.dip_sigma / sine : threshold::kAzimuthSigmaCapDeg);
  }
  if (known) out.azimuth_sigma = std::min(std::sqrt(square), threshold::kAzimuthSigmaCapDeg);
}

void fill_declination(const Reading& reading, const field::FieldAnswer& field, Correction& out) {
  out.declination = reading.site ? *reading.site : Declination{field.elements.declination_deg};
  out.declination_sigma = field.sigma_deg;
  out.declination_95 = field.half_width_95_deg;
  if (reading.site && reading.site_sigma) {
    out.declination_sigma = *reading.site_sigma;
    out.declination_95 = std::min(1.96 * *reading.site_sigma, 180.0);  // an observation's error is taken as normal
  }
}

}  // namespace

Result<Correction> correct(const Reading& reading, const Surroundings& around, bool force_unusable) {
  if (reading.north == NorthReference::unknown) return north_missing(reading, around);
  if (from_needle(reading) && around.field->needle == field::Needle::unusable && !force_unusable)
    return Problem{Code::needle_unusable, "place", "",
                   "the horizontal field is " + format_fixed(around.field->elements.horizontal_nt, 0) +
                       " nT there and then, below 2000: a needle does not point reliably",
                   "Use the sun or a known line; force_unusable=yes corrects all the same"};
  auto referred = refer(reading, around);
  if (!referred) return referred.problem();

  Result<Correction> result(std::in_place);
  Correction& out = *result;
  fill_inclined(reading, out);
  std::optional<double> offset;
  if (reading.kind == Kind::plane) offset = *dip_direction_offset(reading);
  const bool quadrant_plane = reading.kind == Kind::plane && reading.convention == PlaneConvention::quadrant;
  if (out.turned && quadrant_plane && offset) offset = -*offset;  // the written strike end is kept

  // Everything below is forward and turned alike, so that the outputs agree with each other.
  const double flip = (reading.backsight ? 180 : 0) + (out.turned && !quadrant_plane ? 180 : 0);
  out.azimuth_true = referred->azimuth_true.turned(flip);
  out.correction_deg = wrap_180(out.azimuth_true.degrees() - reading.azimuth.degrees - (reading.backsight ? 180 : 0));
  if (offset) out.dip_direction_true = out.azimuth_true.turned(*offset);
  out.sighted = referred->sighted;
  if (reading.north == NorthReference::circle) {
    out.set_used = reading.set;
    out.index_used = referred->index;
  }
  const bool needle_at_target =
      around.field_at_target && (around.field_at_target->needle != field::Needle::unusable || force_unusable);
  if (around.field) {
    fill_declination(reading, *around.field, out);
    out.azimuth_magnetic = out.azimuth_true - *out.declination;
    // The model's change between the two dates, so that what is special about the site stays in.
    if (needle_at_target)
      out.azimuth_at_target = out.azimuth_magnetic->turned(around.field->elements.declination_deg -
                                                           around.field_at_target->elements.declination_deg);
  }
  // A true direction without a date of its own (a line in a deed) needs the target's declination alone.
  if (!around.field && needle_at_target)
    out.azimuth_at_target = out.azimuth_true - Declination{around.field_at_target->elements.declination_deg};
  if (around.output_grid) {
    out.convergence = Convergence{around.output_grid->convergence_deg};
    out.azimuth_grid = out.azimuth_true - *out.convergence;
  }
  fill_sigma(reading, from_needle(reading), out);
  out.changed = reading.north != NorthReference::true_north || reading.applied.has_value() || reading.backsight ||
                out.turned || (out.dip && *out.dip != *reading.dip_deg) ||
                (out.plunge && *out.plunge != *reading.plunge_deg) ||
                (out.vertical_angle && *out.vertical_angle != *reading.vertical_deg);
  return result;
}

double undo(const Reading& reading, const Correction& correction, const Surroundings& around) {
  const bool quadrant_plane = reading.kind == Kind::plane && reading.convention == PlaneConvention::quadrant;
  const double flip = (reading.backsight ? 180 : 0) + (correction.turned && !quadrant_plane ? 180 : 0);
  const Azimuth<True> azimuth = correction.azimuth_true.turned(-flip);
  if (reading.north == NorthReference::grid && !reading.applied_grid_magnetic)
    return (azimuth - Convergence{around.source_grid->convergence_deg}).degrees();
  if (!from_needle(reading)) return azimuth.degrees();
  const double magnetic_deg = (azimuth - *correction.declination).degrees();
  if (reading.applied_grid_magnetic) return wrap_360(magnetic_deg + reading.applied_grid_magnetic->deg);
  if (reading.applied) return wrap_360(magnetic_deg + reading.applied->deg);
  return wrap_360(magnetic_deg + reading.set.deg + reading.azimuth_index.at(magnetic_deg));
}

std::string azimuth_text(const Reading& reading, const Correction& correction) {
  const bool quadrant_plane = reading.kind == Kind::plane && reading.convention == PlaneConvention::quadrant;
  if (!reading.azimuth.style.quadrant && !quadrant_plane) return {};
  const double azimuth = correction.azimuth_true.degrees();
  std::string text =
      reading.azimuth.style.quadrant ? quadrant_text(azimuth, reading.azimuth.style) : trimmed_azimuth(azimuth);
  if (quadrant_plane && correction.dip && correction.dip_direction_true) {
    text += " " + format_trimmed(*correction.dip);
    if (*correction.dip > 0) text += nearest_point(correction.dip_direction_true->degrees());
  }
  return text;
}

}  // namespace agonic::reading
