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
void compare(double entered, double model, double limit, bool zero_means_unset, std::vector<Check>& out) {
  if (std::abs(wrap_180(entered - model)) <= limit) return;
  if (entered == 0 && zero_means_unset)
    out.push_back(Check::declination_unset);
  else if (entered != 0 && std::abs(wrap_180(entered + model)) <= limit)
    out.push_back(Check::declination_sign);
  else
    out.push_back(Check::declination_differs);
}

void check_note(const std::optional<WrittenDeclination>& written, const Reading& reading, double model,
                std::vector<Check>& out) {
  if (!written || !written->note || !reading.date) return;
  if (std::abs(reading.date->decimal_year - written->note->year) > threshold::kMapNoteYears)
    out.push_back(Check::map_note_old);
  if (std::abs(wrap_180(written->deg - model)) > threshold::kMapNoteGapDeg) out.push_back(Check::map_note_gap);
}

void check_entered(const Reading& reading, const Surroundings& around, std::vector<Check>& out) {
  const double model = around.field->elements.declination_deg, limit = allowed(*around.field);
  if (reading.north == NorthReference::circle && reading.set.deg != 0) {
    compare(reading.set.deg, model, limit, false, out);
    const bool sign = std::find(out.begin(), out.end(), Check::declination_sign) != out.end();
    const double there = reading.site ? reading.site->deg : model;
    if (!sign && std::abs(wrap_180(reading.set.deg - there)) > threshold::kStaleDeg)
      out.push_back(Check::setting_stale);
  }
  if (reading.applied) compare(reading.applied->deg, model, limit, true, out);
  if (reading.applied_grid_magnetic && around.source_grid)
    compare(reading.applied_grid_magnetic->deg, model - around.source_grid->convergence_deg, limit, true, out);
  if (reading.site) compare(reading.site->deg, model, limit, false, out);
  check_note(reading.set_written, reading, model, out);
  check_note(reading.applied, reading, model, out);
}

std::string signed_term(double value) { return (value < 0 ? " - " : " + ") + format_fixed(std::abs(value), 3); }

// The sum as far as it turns one north into another.
std::string terms(const Reading& reading, const Surroundings& around, const Correction& correction) {
  const std::string read = format_fixed(reading.azimuth.degrees, 3);
  std::string text;
  std::string after;
  const auto add = [&](double value, const std::string& what) { text += signed_term(value) + " (" + what + ")"; };
  if (correction.declination) {
    const auto& model = *around.field;
    after = "declination " + declination_side_text(correction.declination->deg, 3);
    after += reading.site ? " observed; " + model.model->id + " gives " +
                                declination_side_text(model.elements.declination_deg, 3)
                          : " " + model.model->id;
  }
  switch (reading.north) {
    case NorthReference::circle:
      text = read + " read";
      if (reading.set.deg != 0)
        add(-reading.set.deg, declination_side_text(reading.set.deg, 3) + " set on the circle taken off");
      if (correction.index_used->deg != 0)
        add(-correction.index_used->deg, "index error " + format_fixed(correction.index_used->deg, 3) + " taken off");
      add(correction.declination->deg, after);
      break;
    case NorthReference::magnetic:
      text = read + " magnetic";
      add(correction.declination->deg, after);
      break;
    case NorthReference::grid:
      text = read + " grid";
      if (reading.applied_grid_magnetic) {
        add(-reading.applied_grid_magnetic->deg, "applied grid-magnetic angle taken off");
        add(correction.declination->deg, after);
      } else {
        add(around.source_grid->convergence_deg, "convergence " + around.source_grid->name);
      }
      break;
    case NorthReference::true_north:
      if (reading.applied) {
        text = read + " true as it was";
        add(-reading.applied->deg, "applied " + declination_side_text(reading.applied->deg, 3) + " taken off");
        add(correction.declination->deg, after);
      } else {
        text = read + " true";
      }
      break;
    case NorthReference::unknown:
      break;
  }
  return text;
}

std::string sum(const Reading& reading, const Surroundings& around, const Correction& correction) {
  std::string text = terms(reading, around, correction);
  const bool kept = reading.kind == Kind::plane && reading.convention == PlaneConvention::quadrant;
  const bool turned = correction.turned && !kept;
  if (reading.north == NorthReference::true_north && !reading.applied && !reading.backsight && !turned)
    return format_fixed(reading.azimuth.degrees, 3) + " is true already: nothing added";
  if (reading.backsight) text += " + 180 (backsight reversed)";
  if (turned) text += " + 180 (turned, see below)";
  return text + " = " + format_azimuth(correction.azimuth_true.degrees()) + " true";
}

}  // namespace

std::vector<Check> raised(const Reading& reading, const Surroundings& around, const Correction& correction,
                          bool datum_stated) {
  std::vector<Check> out;
  if (around.field) {
    check_entered(reading, around, out);
    const bool weak_then = around.field_at_target && around.field_at_target->needle != field::Needle::usable;
    if (from_needle(reading) && around.field->needle == field::Needle::unusable)
      out.push_back(Check::needle_forced);
    else if ((around.field->needle != field::Needle::usable && from_needle(reading)) || weak_then)
      out.push_back(Check::needle_caution);
  }
  if (reading.default_set_ignored && !reading.applied) out.push_back(Check::true_but_circle_unset);
  if (reading.date && reading.date->first_of_january) out.push_back(Check::first_of_january);
  if (correction.dip && *correction.dip < threshold::kFlatDipDeg) out.push_back(Check::dip_flat);
  if (reading.place) {
    const auto& place = *reading.place;
    if (place.lat_deg == 0 && place.lon_deg == 0) out.push_back(Check::position_zero);
    if (place.zone_mismatch) out.push_back(Check::utm_zone_mismatch);
    if (place.notation != geodesy::Place::Notation::degrees && !datum_stated) out.push_back(Check::datum_not_stated);
  }
  if (reading.height_m < threshold::kHeightLowM || reading.height_m > threshold::kHeightHighM)
    out.push_back(Check::height_unit);
  if (reading.azimuth_index.largest() > threshold::kIndexErrorDeg) out.push_back(Check::index_error_large);
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

namespace {

template <class Note>
void describe_inclined(const Reading& reading, const Correction& correction, const Note& note) {
  const bool plane = reading.kind == Kind::plane;
  if (correction.turned)
    note(plane ? "the index error carried the dip past its end: the plane dips the other way"
               : "the index error carried the angle past its end: turned by 180");
  const std::string vertical = "vertical index error " + format_fixed(reading.vertical_index_error, 3);
  const std::string dip = "dip index error " + format_fixed(reading.dip_index_error, 3);
  if (reading.vertical_index_error != 0) {
    if (reading.vertical_deg) note(vertical + " taken off the vertical angle");
    if (reading.plunge_deg) note(vertical + ": a sighted plunge is too shallow by it, added");
    if (plane) note(vertical + " not used: a dip is moved by dip_index_error only");
  }
  if (reading.dip_index_error != 0) {
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

std::string remark(const Reading& reading, const Surroundings& around, const Correction& correction,
                   const std::vector<Check>& checks) {
  std::string text = sum(reading, around, correction);
  const auto note = [&](const std::string& sentence) { text += "; " + sentence; };
  describe_inclined(reading, correction, note);
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
  for (Check check : checks) {
    const CheckInfo& about = info(check);
    const bool asks = about.severity == Severity::ask;
    note(std::string(about.code) + ": " + std::string(about.meaning) +
         (asks ? ". " + std::string(about.remedy) : std::string()));
  }
  return text;
}

}  // namespace agonic::reading
