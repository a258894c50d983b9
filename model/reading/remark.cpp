#include "model/reading/remark.hpp"

#include <algorithm>
#include <cmath>

#include "model/reading/plane.hpp"
#include "model/units/number.hpp"

namespace agonic::reading {
namespace {

double allowed(const field::FieldAnswer& field) {
  return std::max(threshold::kDeclinationDeg, threshold::kDeclinationSigmas * field.sigma_deg);
}

// A declination somebody entered, against the model's.
void compare(double entered, double model, double limit, bool zero_means_unset, CheckSet& out) {
  if (std::abs(wrap_180(entered - model)) <= limit) return;
  if (entered == 0 && zero_means_unset)
    out.add(Check::declination_unset);
  else if (entered != 0 && std::abs(wrap_180(entered + model)) <= limit)
    out.add(Check::declination_sign);
  else
    out.add(Check::declination_differs);
}

void check_note(const std::optional<WrittenDeclination>& written, const Reading& reading, double model, CheckSet& out) {
  if (!written || !written->note || !reading.date) return;
  if (std::abs(reading.date->decimal_year - written->note->year) > threshold::kMapNoteYears)
    out.add(Check::map_note_old);
  if (std::abs(wrap_180(written->deg - model)) > threshold::kMapNoteGapDeg) out.add(Check::map_note_gap);
}

void check_entered(const Reading& reading, const Surroundings& around, CheckSet& out) {
  const double model = around.field->elements.declination_deg, limit = allowed(*around.field);
  if (reading.north == NorthReference::circle && reading.set.deg != 0) {
    compare(reading.set.deg, model, limit, false, out);
    const bool sign = out.has(Check::declination_sign);
    const double there = reading.site ? reading.site->deg : model;
    if (!sign && std::abs(wrap_180(reading.set.deg - there)) > threshold::kStaleDeg) out.add(Check::setting_stale);
  }
  if (reading.applied) compare(reading.applied->deg, model, limit, true, out);
  if (reading.applied_grid_magnetic && around.source_grid)
    compare(reading.applied_grid_magnetic->deg, model - around.source_grid->convergence_deg, limit, true, out);
  if (reading.site) compare(reading.site->deg, model, limit, false, out);
  check_note(reading.set_written, reading, model, out);
  check_note(reading.applied, reading, model, out);
}

// " - 14.868 (": what follows says what it is.
void term(double value, Text& out) {
  if (value < 0)
    out += " - ";
  else
    out += " + ";
  out.fixed(std::abs(value), 3);
  out += " (";
}

std::string term(double value, const std::string& what) {
  Text out;
  term(value, out);
  out += what;
  out += ')';
  return std::string(out.view());
}

// The terms of the sum, as far as they turn one north into another.
void sum(const Reading& reading, const Phrases& terms, const Correction& correction, Text& out) {
  const bool kept = reading.kind == Kind::plane && reading.convention == PlaneConvention::quadrant;
  const bool turned = correction.turned && !kept;
  out.fixed(reading.azimuth.degrees, 3);
  if (reading.north == NorthReference::true_north && !reading.applied && !reading.backsight && !turned) {
    out += " is true already: nothing added";
    return;
  }
  switch (reading.north) {
    case NorthReference::circle:
      out += " read";
      break;
    case NorthReference::magnetic:
      out += " magnetic";
      break;
    case NorthReference::grid:
      out += " grid";
      break;
    case NorthReference::true_north:
      out += reading.applied ? std::string_view(" true as it was") : std::string_view(" true");
      break;
    case NorthReference::unknown:
      break;
  }
  out += terms.taken_off;
  if (reading.north == NorthReference::circle && correction.index_used->deg != 0) {
    term(-correction.index_used->deg, out);
    out += "index error ";
    out.fixed(correction.index_used->deg, 3);
    out += " taken off)";
  }
  out += terms.added;
  if (reading.backsight) out += " + 180 (backsight reversed)";
  if (turned) out += " + 180 (turned, see below)";
  out += " = ";
  out.azimuth(correction.azimuth_true.degrees());
  out += " true";
}

}  // namespace

Phrases phrases(const Reading& reading, const Surroundings& around) {
  Phrases out;
  if (around.field && from_needle(reading)) {
    const double model = around.field->elements.declination_deg;
    const double used = reading.site ? reading.site->deg : model;
    const std::string& id = around.field->model->id;
    std::string what = "declination " + declination_side_text(used, 3);
    what += reading.site ? " observed; " + id + " gives " + declination_side_text(model, 3) : " " + id;
    out.added = term(used, what);
  }
  if (reading.north == NorthReference::circle && reading.set.deg != 0)
    out.taken_off = term(-reading.set.deg, declination_side_text(reading.set.deg, 3) + " set on the circle taken off");
  if (reading.applied_grid_magnetic)
    out.taken_off = term(-reading.applied_grid_magnetic->deg, "applied grid-magnetic angle taken off");
  else if (reading.north == NorthReference::grid && around.source_grid)
    out.added = term(around.source_grid->convergence_deg, "convergence " + around.source_grid->name);
  if (reading.applied)
    out.taken_off =
        term(-reading.applied->deg, "applied " + declination_side_text(reading.applied->deg, 3) + " taken off");
  return out;
}

namespace {

// Strike and dip direction are one statement made twice. A letter says only the side.
bool dip_direction_off(const Reading& reading) {
  const double allowed = reading.dip_direction_by_letters ? 90 - threshold::kDipLetterDeg : threshold::kDipDirectionDeg;
  const auto offset = dip_direction_offset(reading);
  const auto off = [&](double turn) {
    return std::abs(wrap_180(*reading.dip_direction_deg - reading.azimuth.degrees - turn));
  };
  // A level plane dips nowhere, and an upright one to either side.
  if (reading.dip_deg == 0.0) return false;
  const bool either = reading.dip_deg == 90.0 && reading.convention != PlaneConvention::dip_direction;
  if (offset && *offset && !either) return off(**offset) > allowed;
  return std::min(off(90), off(-90)) > allowed;
}

}  // namespace

CheckSet raised(const Reading& reading, const Surroundings& around, const Correction& correction, bool datum_stated) {
  CheckSet out;
  if (around.field) {
    check_entered(reading, around, out);
    const bool weak_then = around.field_at_target && around.field_at_target->needle != field::Needle::usable;
    if (from_needle(reading) && around.field->needle == field::Needle::unusable)
      out.add(Check::needle_forced);
    else if ((around.field->needle != field::Needle::usable && from_needle(reading)) || weak_then)
      out.add(Check::needle_caution);
  }
  if (reading.default_set_ignored && !reading.applied) out.add(Check::true_but_circle_unset);
  if (reading.date && reading.date->first_of_january) out.add(Check::first_of_january);
  if (correction.dip && *correction.dip < threshold::kFlatDipDeg) out.add(Check::dip_flat);
  if (reading.dip_direction_deg && dip_direction_off(reading)) out.add(Check::dip_direction_differs);
  if (from_needle(reading) && correction.declination_sigma &&
      reading.azimuth.step_deg < threshold::kPrecisionShare * *correction.declination_sigma)
    out.add(Check::precision_fine);
  if (reading.place) {
    const auto& place = *reading.place;
    if (place.lat_deg == 0 && place.lon_deg == 0) out.add(Check::position_zero);
    if (place.zone_mismatch) out.add(Check::utm_zone_mismatch);
    if (place.notation != geodesy::Place::Notation::degrees && !datum_stated) out.add(Check::datum_not_stated);
  }
  if (reading.height_m < threshold::kHeightLowM || reading.height_m > threshold::kHeightHighM)
    out.add(Check::height_unit);
  if (!reading.azimuth_index.is_zero() && reading.azimuth_index.largest() > threshold::kIndexErrorDeg)
    out.add(Check::index_error_large);
  return out;
}

namespace {

template <class Note>
void describe_inclined(const Reading& reading, const Correction& correction, const Note& note) {
  const bool plane = reading.kind == Kind::plane;
  if (correction.turned)
    note(plane ? "the index error carried the dip past its end: the plane dips the other way"
               : "the index error carried the angle past its end: turned by 180");
  if (reading.vertical_index_error != 0) {
    const std::string vertical = "vertical index error " + format_fixed(reading.vertical_index_error, 3);
    if (reading.vertical_deg) note(vertical + " taken off the vertical angle");
    if (reading.plunge_deg) note(vertical + ": a sighted plunge is too shallow by it, added");
    if (plane) note(vertical + " not used: a dip is moved by dip_index_error only");
  }
  if (reading.dip_index_error != 0) {
    const std::string dip = "dip index error " + format_fixed(reading.dip_index_error, 3);
    if (reading.dip_deg) note(dip + " taken off the dip");
    if (reading.plunge_deg) note(dip + " taken off the plunge");
    if (reading.kind == Kind::direction)
      note(dip + " not used: a vertical angle is moved by vertical_index_error only");
  }
  if (!reading.rake_deg) return;
  // Turned over the vertical, the plane's right-hand strike is the other end of the old one.
  const bool over = correction.turned && *reading.dip_deg - reading.dip_index_error > 90;
  note("rake " + format_trimmed(*reading.rake_deg) + " from the right-hand strike" +
       (over ? " as read, " + format_trimmed(180 - *reading.rake_deg) + " from the turned one" : ", unchanged"));
  if (!correction.dip || !correction.dip_direction_true) return;
  const LineInPlane line = line_in_plane(wrap_360(correction.dip_direction_true->degrees() - 90), *correction.dip,
                                         over ? 180 - *reading.rake_deg : *reading.rake_deg);
  note("its line trends " + format_azimuth(line.trend_deg) + " true, plunging " + format_fixed(line.plunge_deg, 3));
}

template <class Note>
void describe_note(const std::optional<WrittenDeclination>& written, const Reading& reading, const Surroundings& around,
                   const Note& note) {
  if (!written || !written->note || !reading.date || !around.field) return;
  const double model = around.field->elements.declination_deg;
  note("the map's note gives " + declination_side_text(written->deg, 3) + " for " + reading.date->iso + ", " +
       around.field->model->id + " " + declination_side_text(model, 3) + ": " +
       format_fixed(std::abs(wrap_180(written->deg - model)), 3) + " apart");
}

}  // namespace

void remark(const Reading& reading, const Surroundings& around, const Phrases& terms, const Correction& correction,
            CheckSet checks, Text& out) {
  sum(reading, terms, correction, out);
  const auto note = [&](std::string_view sentence) {
    out += "; ";
    out += sentence;
  };
  describe_inclined(reading, correction, note);
  if (reading.instrument) {
    note(reading.instrument->named);
    for (const std::string& sentence : reading.instrument->notes) note(sentence);
  }
  describe_note(reading.set_written, reading, around, note);
  describe_note(reading.applied, reading, around, note);
  if (reading.date && !reading.date->note.empty()) note(reading.date->note);
  if (reading.target_date && !reading.target_date->note.empty()) note("target " + reading.target_date->note);
  if (around.date_outside_models) note("no model serves its date: declination left blank");
  if (correction.azimuth_at_target)
    note("on " + reading.target_date->iso + " the needle reads " +
         format_azimuth(correction.azimuth_at_target->degrees()) + " along it, declination then " +
         declination_side_text(around.field_at_target->elements.declination_deg, 3) + " " +
         around.field_at_target->model->id);
  else if (around.field_at_target)
    note("on " + reading.target_date->iso + " a needle is unusable there: no azimuth at target");
  if (reading.place && !reading.place->text_meaning.empty()) note("place read as " + reading.place->text_meaning);
  if (reading.site && !reading.site_sigma) note("the observed declination has no sigma: the model's stands in");
  if (around.field && around.field->seam_step_deg && from_needle(reading))
    note(around.field->model->id + " and " + around.field->seam_neighbour->id + " differ by " +
         format_fixed(std::abs(*around.field->seam_step_deg), 3) + " where they join: added to the uncertainty");
  checks.each([&](Check check) {
    const CheckInfo& about = info(check);
    note(about.code);
    out += ": ";
    out += about.meaning;
    if (about.severity == Severity::ask) {
      out += ". ";
      out += about.remedy;
    }
  });
}

}  // namespace agonic::reading
