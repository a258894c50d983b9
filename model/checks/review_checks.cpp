// The checks of a whole data set: what they mean stands in the review's own table.
#include <algorithm>
#include <stdexcept>

#include "model/checks/tables.hpp"
#include "model/review/checks.hpp"

namespace agonic::checks {
namespace {

using review::Check;
namespace limit = review::threshold;

struct More {
  Check check;
  std::string_view why;
  std::string_view raises, passes;  // in words: a data set is not one small input
  std::array<Limit, 3> limits{};
};

constexpr Limit shared{"apart", limit::kApartDeg, "degree", Basis::common_practice};
constexpr Limit errors{"or", limit::kApartStandardErrors, "standard errors", Basis::judgement};

constexpr std::array kMore{
    More{Check::groups_declination_apart,
         "One uncorrected half makes a fold or a bend in a passage where there is none, and no single row shows it.",
         "two observers on the same twelve lines, one 14 degrees to the east of the other, where D is 14 E",
         "the same two, 0.4 degree apart",
         {shared, errors}},
    More{Check::groups_twice_apart,
         "A circle set to the wrong side is off by twice the declination, all season.",
         "one year's readings 28 degrees off the others on shared lines, where D is 14 E",
         "0.4 degree off",
         {shared, errors}},
    More{Check::groups_differ,
         "Merged, they look like scatter, and no mean is right for either.",
         "two compasses 4 degrees apart on five shared lines",
         "0.6 degree apart",
         {shared,
          {"significance", limit::kSignificance, "standard errors", Basis::judgement},
          {"lines in common", limit::kSharedLines, "", Basis::judgement}}},
    More{Check::group_mirrored,
         "East and west are exchanged: every plane dips the wrong way.",
         "an old dial with 090 on the left, read as if it stood on the right",
         "the same readings as 360 minus x",
         {{{"360 - x against its line", limit::kMirrorDeg, "degree", Basis::judgement}}}},
    More{Check::readings_wrong_end,
         "Half a turn goes unseen in a list of strikes and breaks a traverse.",
         "a line read 050 by two and 231 by a third",
         "050, 051 and 050",
         {{{"from 180", limit::kWrongEndDeg, "degree", Basis::judgement}}}},
    More{Check::groups_scatter,
         "One rotation for all lines would be wrong for each of them.",
         "an old survey that stands off by 2, 5 and -1 degrees from line to line",
         "by 2.0, 2.2 and 1.9",
         {{{"beyond repeated readings", limit::kScatterDeg, "degree", Basis::judgement}}}},
    More{Check::declination_spread,
         "A single value for the project is off by the rest at its ends.",
         "plans of 1988 and 2026 in one file",
         "one summer in one valley",
         {{{"range", limit::kSpreadDeg, "degree", Basis::judgement}}}},
    More{Check::settings_stale,
         "The rows are put right; what was plotted in the field was not.",
         "a circle set in 2009 and read in 2016",
         "set anew each year",
         {{{"difference", limit::kStaleDeg, "degree", Basis::judgement}}}},
    More{Check::settings_sign,
         "It is off by twice the declination if the circle was set so, by nothing if it is in the notes alone.",
         "10W noted where D is 10 E", "10E"},
    More{Check::settings_missing, "Half of all circles are left set.", "forty rows with a blank setting",
         "0 in all of them"},
    More{Check::settings_mixed, "One of the two makes its rows wrong by the difference.",
         "T1 set to 14E in the morning and 0 in the afternoon", "14E all day"},
    More{Check::north_missing, "The figures do not show from which north they count.", "a sheet without a word on it",
         "circle in every row"},
    More{Check::dates_year_only,
         "Half a year of drift is up to a quarter of a degree, and the day looks exact.",
         "nine rows of 2008-01-01",
         "rows of 2008",
         {{{"rows", limit::kYearOnlyRows, "", Basis::judgement}}}},
    More{Check::dates_heaped,
         "The declination of the typing day is not that of the readings.",
         "300 rows of one observer on one day",
         "40 rows of one day in one valley",
         {{{"rows", limit::kHeapRows, "", Basis::judgement},
           {"apart", limit::kHeapKm, "km", Basis::judgement},
           {"of one observer", limit::kHeapRowsOfOne, "", Basis::judgement}}}},
    More{Check::places_outlying,
         "A wrong figure in a latitude takes another place's declination.",
         "one row at 64 N among rows at 46 N",
         "rows within one valley",
         {{{"from all others", limit::kOutlyingKm, "km", Basis::judgement}}}},
    More{Check::places_mirrored, "The mirrored place has a declination of its own, often of the other sign.",
         "-8 among rows at 8 E", "8 in all"},
    More{Check::places_swapped, "A swapped place lies in another country.", "8 46 among rows at 46 8", "46 8 in all"},
    More{Check::places_zone, "Six degrees of longitude off, and the convergence has the other sign.",
         "31N among rows of 32N with the same figures", "32N in all"},
    More{Check::places_zero, "Programs write 0 where a place is missing.", "rows at 0 0", "rows with places"},
    More{Check::strikes_half_circle,
         "Half of the planes dip the other way then.",
         "twenty strikes from 010 to 170, no letter",
         "strikes on both sides, or with letters",
         {{{"strikes", limit::kHalfCirclePlanes, "", Basis::judgement},
           {"spread", limit::kHalfCircleSpanDeg, "degree", Basis::judgement}}}},
    More{Check::strike_dip_direction,
         "The plane is stated twice, and differently.",
         "strike 010, dip direction 105",
         "strike 010, dip direction 100",
         {{{"from a right angle", limit::kDipDirectionDeg, "degree", Basis::common_practice}}}},
    More{Check::azimuth_heaping,
         "They are known to 2 degrees and not to the one they are written to.",
         "most readings end in 0 or 5",
         "all last digits alike often",
         {{{"readings", limit::kHeapingRows, "", Basis::judgement}}}},
    More{Check::azimuth_too_fine,
         "Digits are taken for accuracy thirty years on.",
         "azimuths as 123.47",
         "azimuths as 123.5",
         {{{"written unit", limit::kTooFineSigmas, "sigma", Basis::judgement}}}},
    More{Check::observed_declination_off,
         "It wins over the model, row by row.",
         "19 E observed where the model says 14 E",
         "14.6 E observed",
         {{{"difference", limit::kObservedDeg, "degree", Basis::judgement}}}},
    More{Check::observed_declination_reject,
         "Nothing but strong magnetic rock or a slip does that.",
         "34 E observed where the model says 14 E",
         "14.6 E observed",
         {{{"difference", limit::kObservedRejectDeg, "degree", Basis::judgement}}}},
    More{Check::mean_across_north,
         "The arithmetic mean of 350 and 10 is south.",
         "directions of 350, 355, 5 and 10",
         "directions of 80, 85, 95 and 100",
         {{{"arithmetic against circular", limit::kMeanDeg, "degree", Basis::judgement}}}},
    More{Check::rows_refused, "They are not in any count or mean.", "rows without a date", "none refused"},
    More{Check::rows_repeated, "They weigh twice.", "a page typed twice", "each row once"},
};

}  // namespace

std::vector<Entry> review_checks() {
  std::vector<Entry> out;
  for (const review::CheckInfo& check : review::all_review_checks()) {
    const auto* more = std::find_if(kMore.begin(), kMore.end(), [&](const More& m) { return m.check == check.check; });
    if (more == kMore.end()) throw std::logic_error("a check without its page: " + std::string(check.code));
    out.push_back({check.code, check.severity == reading::Severity::ask ? Kind::ask : Kind::warn,
                   check.check == Check::declination_spread
                       ? static_cast<std::uint16_t>(at(Where::review) | at(Where::route))
                       : at(Where::review),
                   check.meaning, more->why, check.remedy, Example{Where::review, {more->raises}, {more->passes}, true},
                   more->limits});
  }
  return out;
}

}  // namespace agonic::checks
