// The checks that mark a row: what they mean stands in their own table, beside the code that raises them.
#include <algorithm>
#include <stdexcept>

#include "model/checks/tables.hpp"
#include "model/field/declination.hpp"
#include "model/reading/checks.hpp"

namespace agonic::checks {
namespace {

using reading::Check;
namespace limit = reading::threshold;

struct More {
  Check check;
  std::uint16_t where;
  std::string_view why;
  Example example{};
  std::array<Limit, 3> limits{};
};

// At 46 N 8 E the declination of May 2026 is about 3.5 E.
constexpr std::array kMore{
    More{Check::declination_differs,
         at(Where::row),
         "Either the setting was of another place or year, or it is another declination than the column says.",
         {Where::row, {"set_declination=9E"}, {"set_declination=3.5E"}},
         {{{"difference", limit::kDeclinationDeg, "degree", Basis::judgement},
           {"and of the model's uncertainty", limit::kDeclinationSigmas, "sigma", Basis::judgement}}}},
    More{Check::declination_sign,
         at(Where::row) | at(Where::fit),
         "A circle set to the wrong side turns every azimuth by twice the declination: a day's work lost. In a fit "
         "it is said of a known azimuth that got the declination with the wrong sign.",
         {Where::row, {"set_declination=3.5W"}, {"set_declination=3.5E"}},
         {{{"from minus the model's", limit::kDeclinationDeg, "degree", Basis::judgement}}}},
    More{Check::declination_unset,
         at(Where::row),
         "Programs write 0 where nobody filled anything in: then the azimuths are magnetic still.",
         {Where::row,
          {"north_reference=true; set_declination=; applied_declination=0"},
          {"north_reference=true; set_declination=; applied_declination=3.5E"}},
         {{{"difference", limit::kDeclinationDeg, "degree", Basis::judgement}}}},
    More{Check::true_but_circle_unset,
         at(Where::row),
         "What is read off a circle set to 0 is magnetic: called true it stays wrong by the whole declination.",
         {Where::row,
          {"north_reference=true; set_declination=", "set_declination=0"},
          {"north_reference=true; set_declination="}}},
    More{
        Check::setting_stale,
        at(Where::row),
        "The needle has moved since the circle was set, or the place is another: whoever reads the circle in the field "
        "is off by as much, though these rows are put right.",
        {Where::row, {"set_declination=2.5E"}, {"set_declination=3.5E"}},
        {{{"difference", limit::kStaleDeg, "degree", Basis::judgement}}}},
    More{Check::first_of_january,
         at(Where::route) | at(Where::row) | at(Where::lookup),
         "Where only the year is known, programs write the first day of it. Half a year of drift is up to a quarter of "
         "a "
         "degree, and the day looks exact.",
         {Where::row, {"date=2020-01-01"}, {"date=2020"}}},
    More{Check::map_note_old,
         at(Where::row),
         "The yearly change printed on a map is that of one year; it bends, and errors of a degree after a decade are "
         "common.",
         {Where::row, {"set_declination=1E 2010, 9'E a year"}, {"set_declination=3.5E 2026, 9'E a year"}},
         {{{"from the note's year", limit::kMapNoteYears, "years", Basis::common_practice}}}},
    More{Check::map_note_gap,
         at(Where::row),
         "The note may be of the sheet's middle, of another year than printed, or misread (grid-magnetic angle for "
         "declination).",
         {Where::row, {"set_declination=1E 2025"}, {"set_declination=3.5E 2026"}},
         {{{"difference", limit::kMapNoteGapDeg, "degree", Basis::judgement}}}},
    More{Check::needle_caution,
         at(Where::route) | at(Where::row) | at(Where::lookup) | at(Where::setting),
         "Where little of the field lies level, the needle is slow, dips hard, and small iron turns it far; the "
         "declination itself is known to 0.9 degree at best.",
         {Where::row, {"lat=78; lon=-110"}, {"lat=60; lon=-110"}},
         {{{"horizontal field", field::kNeedleCautionNt, "nT", Basis::published}}}},
    More{Check::needle_forced,
         at(Where::row) | at(Where::setting),
         "So near the magnetic pole the declination is unsure by 3 degrees and more, and may turn by tens in a day.",
         {Where::row, {"lat=85.8; lon=139.3", "force_unusable=yes"}, {"lat=60; lon=100", "force_unusable=yes"}},
         {{{"horizontal field", field::kNeedleUnusableNt, "nT", Basis::published}}}},
    More{Check::dip_flat,
         at(Where::row),
         "A bed that is nearly level strikes anywhere: an error of 2 degrees in a dip of 8 turns the strike by 14.",
         {Where::row, {"dip=9; plane_convention=right_hand"}, {"dip=10; plane_convention=right_hand"}},
         {{{"dip", limit::kFlatDipDeg, "degree", Basis::judgement}}}},
    More{Check::dip_direction_differs,
         at(Where::row),
         "Strike and dip direction are one statement made twice: where they disagree, one of them was misread or "
         "miswritten, or the strike follows another convention.",
         {Where::row,
          {"azimuth=100; dip=40; plane_convention=right_hand; dip_direction=195"},
          {"azimuth=100; dip=40; plane_convention=right_hand; dip_direction=192"}},
         {{{"from a right angle", limit::kDipDirectionDeg, "degree", Basis::common_practice}}}},
    More{
        Check::precision_fine,
        at(Where::row),
        "Digits are taken for accuracy thirty years on. The daily swing alone is 0.2 to 0.5 degree in middle latitudes "
        "(common practice), and storms are many times that.",
        {Where::row, {"azimuth=100.237"}, {"azimuth=100.25"}},
        {{{"written step", limit::kPrecisionShare, "sigma", Basis::judgement}}}},
    More{Check::position_zero,
         at(Where::row),
         "0 N 0 E is open sea: programs write it where a place is missing.",
         {Where::row, {"lat=0; lon=0"}, {"lat=0; lon=8"}}},
    More{Check::utm_zone_mismatch,
         at(Where::row) | at(Where::lookup) | at(Where::sun),
         "A zone that is one off puts the place 6 degrees of longitude away, and turns the convergence's sign.",
         {Where::row, {"lat=; lon=; place=31N 900000 5100000"}, {"lat=; lon=; place=32N 461344 5481745"}}},
    More{Check::datum_not_stated,
         at(Where::row) | at(Where::lookup),
         "Declination does not notice 100 m, a map or a boundary does.",
         {Where::row,
          {"lat=; lon=; place=32N 461344 5481745"},
          {"lat=; lon=; place=32N 461344 5481745", "datum=wgs84"}}},
    More{Check::height_unit,
         at(Where::row) | at(Where::lookup),
         "A height in kilometres or feet moves the declination little and shows that the columns are not what they "
         "seem.",
         {Where::row, {"height_m=10001"}, {"height_m=10000"}},
         {{{"lowest", limit::kHeightLowM, "m", Basis::judgement},
           {"highest", limit::kHeightHighM, "m", Basis::judgement}}}},
    More{Check::index_error_large,
         at(Where::row),
         "Compasses are made to a degree or two. More is a bent needle, iron in a pocket, the wrong end read, or a "
         "circle "
         "that was left set when it was found.",
         {Where::row, {"azimuth_index_error=5.1"}, {"azimuth_index_error=5"}},
         {{{"index error", limit::kIndexErrorDeg, "degree", Basis::judgement}}}},
};

}  // namespace

std::vector<Entry> row_marks() {
  std::vector<Entry> out;
  out.reserve(kMore.size());
  for (const reading::CheckInfo& check : reading::all_checks()) {
    const auto* more = std::find_if(kMore.begin(), kMore.end(), [&](const More& m) { return m.check == check.check; });
    if (more == kMore.end()) throw std::logic_error("a check without its page: " + std::string(check.code));
    out.push_back({check.code, check.severity == reading::Severity::ask ? Kind::ask : Kind::warn, more->where,
                   check.meaning, more->why, check.remedy, more->example, more->limits});
  }
  return out;
}

}  // namespace agonic::checks
