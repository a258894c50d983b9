// What goes along with a declination, a setting and the sun.
#include "model/checks/tables.hpp"
#include "model/field/warnings.hpp"
#include "model/survey/sun.hpp"

namespace agonic::checks {
namespace {

constexpr std::uint16_t kLookups = at(Where::lookup) | at(Where::setting);

constexpr std::array kEntries{
    Entry{"tilt-critical",
          Kind::warn,
          kLookups,
          "Each degree off level turns the azimuth by more than 5.67 degrees: the field dips steeper than 80 degrees.",
          "Few people hold a compass level to better than a degree or two.",
          "Level with a bubble, read twice, and prefer the sun or a known line.",
          {Where::lookup, {"lat=66; lon=-95"}, {"lat=46; lon=8"}},
          {{{"azimuth per degree of tilt", field::kTiltWarning, "degree", Basis::judgement}}}},
    Entry{"model-seam",
          Kind::warn,
          kLookups | at(Where::row),
          "The date is within a year of where two models join, and they differ there; the step is added to the "
          "uncertainty. In a row the remark says so.",
          "Two readings a month apart would seem to differ by the step, though the needle did not move.",
          "Compare data across the join with that uncertainty, or name one model for all of it.",
          {Where::lookup, {"date=1900-06-01"}, {"date=1950-06-01"}},
          {{{"from the join", 1, "years", Basis::judgement}}}},
    Entry{"small-scale-field",
          Kind::warn,
          kLookups,
          "The field of rocks that a model of degree 12 leaves out and one of degree 133 has adds more to the "
          "declination here than the published 1-sigma.",
          "It is the same for all readings of the place: no mean takes it out.",
          "Name wmmhr2025 for this place and date, or observe the declination.",
          {Where::lookup, {"lat=51.7; lon=36.3"}, {"lat=46; lon=8"}}},
    Entry{"declination-undefined",
          Kind::warn,
          kLookups,
          "The horizontal field is exactly zero: there is no magnetic north.",
          "A number in its place would be the noise of the sum.",
          "Use the sun or a known line.",
          {Where::lookup, {"exactly at a magnetic pole of the model"}, {"anywhere else"}, true}},
    Entry{
        "date-read-as",
        Kind::note,
        kLookups,
        "How a date that is no single day was taken: a month by its middle, a year by its middle, a span by the mean.",
        "Within a year the needle moves by up to half a degree.",
        "Give the day if it is known.",
        {Where::lookup, {"date=2026"}, {"date=2026-05-01"}}},
    Entry{"setting-does-not-hold",
          Kind::warn,
          at(Where::setting),
          "No one setting stays within half a graduation for the whole span.",
          "Before its end the circle is off by more than it is read to.",
          "Set the circle anew on the way, or leave it at 0 and let the correction do the sum.",
          {Where::setting, {"graduation=0.1; until=2029-12-01"}, {"graduation=1; until=2026-09-01"}}},
    Entry{"sun-caution",
          Kind::note,
          at(Where::sun) | at(Where::fit),
          "Said with every answer about the sun.",
          "A glance through a sight blinds for good.",
          "Use the shadow of a plumb line, or a sight made for it.",
          {Where::sun, {""}, {}}},
    Entry{"sun-does-not-rise",
          Kind::warn,
          at(Where::sun),
          "The sun stays below the horizon on this day.",
          "There is nothing to sight.",
          "Take a star or a known line, or another day.",
          {Where::sun, {"lat=75; time=2026-12-20; table=day"}, {"lat=46; time=2026-12-20; table=day"}}},
    Entry{"sun-below-horizon",
          Kind::warn,
          at(Where::sun),
          "The sun is below the horizon at that moment.",
          "The clock, its offset or the sign of the longitude is wrong, if it was sighted.",
          "Check the time and its offset from UTC, and the longitude's sign.",
          {Where::sun, {"time=2026-05-01T23:00Z"}, {"time=2026-05-01T07:00Z"}}},
    Entry{"sun-high",
          Kind::warn,
          at(Where::sun) | at(Where::fit),
          "The sun stands above 30 degrees.",
          "The higher it stands, the more a plumb line off upright and a clock off by a minute turn its azimuth.",
          "Take it low, in the morning or evening.",
          {Where::sun, {"time=2026-05-01T11:00Z"}, {"time=2026-05-01T06:00Z"}},
          {{{"elevation", survey::kSunHighDeg, "degree", Basis::common_practice}}}},
};

}  // namespace

std::span<const Entry> lookup_warnings() noexcept { return kEntries; }

}  // namespace agonic::checks
