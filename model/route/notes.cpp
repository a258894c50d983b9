// What is worth a sentence about the whole route.
#include <cmath>
#include <set>

#include "model/route/parts.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::route {
namespace {

constexpr double kSpreadWorthSaying = 0.5;              // one declination for all is then not enough (common practice)
constexpr double kInclinationWorthSaying = 10;          // a balanced needle begins to dip or drag: judgement
constexpr double kTiltWorthSaying = 5.671281819617709;  // tan 80, as for a single place

std::string two(double value) { return format_fixed(value, 2); }

std::string degrees(double value) { return two(value) + (value == 1 ? " degree" : " degrees"); }

void note_needle(Sheet& sheet) {
  using field::Needle;
  for (const Needle needle : {Needle::unusable, Needle::caution}) {
    std::string where;
    for (const Zone& zone : sheet.zones)
      if (zone.needle == needle)
        where += (where.empty() ? "" : "; ") + (zone.first == zone.last ? "at " + sheet.place_words(zone.first)
                                                                        : "from " + sheet.place_words(zone.first) +
                                                                              " to " + sheet.place_words(zone.last));
    if (where.empty()) continue;
    if (needle == Needle::unusable)
      sheet.notes.push_back(
          {"needle-unusable",
           "The horizontal field is below 2000 nT, where a needle does not show a direction, " + where +
               (sheet.rules.force_unusable ? ". It was worked all the same."
                                           : ". No setting is given there; use the sun or a known line.")});
    else
      sheet.notes.push_back(
          {"needle-caution",
           "The horizontal field is 2000 to 6000 nT, where a needle is slow and easily led astray, " + where + "."});
  }
}

void note_joins(Sheet& sheet) {
  double step = 0;
  std::set<std::string> near;
  for (const Sample& sample : sheet.samples) {
    const auto& f = sample.field;
    if (!f.seam_step_deg || f.seam_neighbour == nullptr) continue;
    near.insert(std::min(f.model->id, f.seam_neighbour->id) + " and " + std::max(f.model->id, f.seam_neighbour->id) +
                " at " + format_fixed(f.seam_year, 1));
    if (std::abs(*f.seam_step_deg) > std::abs(step)) step = *f.seam_step_deg;
  }
  if (near.empty()) return;
  std::string names;
  for (const std::string& name : near) names += (names.empty() ? "" : ", ") + name;
  sheet.notes.push_back({"models-joined", "Near the join of " + names + " the declination steps by up to " +
                                              degrees(std::abs(step)) + "; the step is in the uncertainty."});
}

void note_dates(Sheet& sheet) {
  std::string back, january, meant;
  for (std::size_t i = 0; i < sheet.stops.size(); ++i) {
    const Stop& stop = sheet.stops[i];
    if (i > 0 && stop.date.decimal_year < sheet.stops[i - 1].date.decimal_year && back.empty())
      back = stop.label + " (" + stop.date.iso + ") comes after " + sheet.stops[i - 1].label + " (" +
             sheet.stops[i - 1].date.iso + ")";
    if (stop.date.first_of_january && january.empty()) january = stop.label;
    if (!stop.date.note.empty() && meant.empty()) meant = stop.label + ": " + stop.date.note;
  }
  if (!back.empty())
    sheet.notes.push_back({"dates-backwards", back + ": are the stops in their order? They were taken as they stand."});
  if (!january.empty())
    sheet.notes.push_back({"first-of-january", "The date of " + january +
                                                   " is a 1st of January: if only the year is known, give the year "
                                                   "alone, which means its middle."});
  if (!meant.empty()) sheet.notes.push_back({"date-meant", "Date of " + meant + "."});
}

void note_way(Sheet& sheet) {
  if (sheet.stops.size() < sheet.refused.size())
    sheet.notes.push_back({"stops-refused", "Stops that were refused are left out" +
                                                std::string(sheet.rules.legs ? "; legs go past them." : ".")});
  if (!sheet.rules.legs && sheet.stops.size() > 1)
    sheet.notes.push_back({"legs-not-looked-at",
                           "Only the stops were looked at: what the declination does between them is told with legs."});
  for (std::size_t i = 1; i < sheet.stops.size(); ++i) {
    const double km = sheet.samples[sheet.sample_of_stop[i]].km - sheet.samples[sheet.sample_of_stop[i - 1]].km;
    if (km <= kAntipodalKm) continue;
    sheet.notes.push_back({"leg-half-round", "From " + sheet.stops[i - 1].label + " to " + sheet.stops[i].label +
                                                 " is half-way round the earth, where no line is the shortest: put a "
                                                 "stop between them."});
    break;
  }
}

// Pieces that no setting holds, the needle being usable: only a jump of the declination can be so.
void note_jumps(Sheet& sheet) {
  if (!sheet.rules.legs) return;
  std::string where;
  std::size_t leg = 0, open = 0;
  bool jumping = false;
  for (std::size_t i = 0; i + 1 < sheet.samples.size(); ++i) {
    while (leg < sheet.settings.size() && sheet.settings[leg].last <= i) ++leg;
    const bool held = leg < sheet.settings.size() && sheet.settings[leg].first <= i;
    const bool jumps = !held && sheet.used(i) && sheet.used(i + 1);
    if (jumps && !jumping) open = i;
    const bool ends = jumping && !jumps;
    if (ends) where += (where.empty() ? "" : "; ") + sheet.place_words(open) + " to " + sheet.place_words(i);
    jumping = jumps;
  }
  if (jumping)
    where +=
        (where.empty() ? "" : "; ") + sheet.place_words(open) + " to " + sheet.place_words(sheet.samples.size() - 1);
  if (!where.empty())
    sheet.notes.push_back({"declination-jumps", "No setting holds from " + where +
                                                    ": the declination turns there by more than twice the tolerance "
                                                    "within a step."});
}

}  // namespace

void add_notes(Sheet& sheet) {
  note_needle(sheet);
  const double spread = sheet.high_deg - sheet.low_deg;
  if (spread > kSpreadWorthSaying)
    sheet.notes.push_back({"declination-spread", "The declination varies by " + degrees(spread) +
                                                     " along the way: one value for all readings is not enough."});
  note_joins(sheet);
  const double dip = sheet.inclination_high_deg - sheet.inclination_low_deg;
  if (dip > kInclinationWorthSaying || (sheet.inclination_low_deg < 0 && sheet.inclination_high_deg > 0))
    sheet.notes.push_back(
        {"needle-balance",
         "The inclination runs from " + format_fixed(sheet.inclination_low_deg, 1) + " to " +
             format_fixed(sheet.inclination_high_deg, 1) +
             " degrees: a needle balanced for one end of the way dips or drags at the other. See that "
             "it swings free, and take one balanced for the middle."});
  const double steepest = std::max(std::abs(sheet.inclination_low_deg), std::abs(sheet.inclination_high_deg));
  const double tilt = std::abs(std::tan(std::min(steepest, 89.9999) * kDegree));
  if (tilt > kTiltWorthSaying)
    sheet.notes.push_back({"hold-level", "At the steepest, each degree off level turns the azimuth by up to " +
                                             degrees(tilt) + ": hold the compass level with great care."});
  note_dates(sheet);
  note_way(sheet);
  note_jumps(sheet);
  if (!sheet.rules.circle.turnable)
    sheet.notes.push_back({"circle-fixed",
                           "This circle cannot be turned: what stands as a setting is to be added to every reading "
                           "(west: subtracted), or 'agonic correct' does the sum."});
  sheet.notes.push_back({"ground-differs",
                         "The model does not know local rock, iron or storms: check against a line of known azimuth "
                         "or the sun."});
}

}  // namespace agonic::route
