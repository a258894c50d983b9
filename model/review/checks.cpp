#include "model/review/checks.hpp"

#include <array>
#include <cstddef>

namespace agonic::review {
namespace {

using reading::Severity;

constexpr std::array kChecks{
    CheckInfo{
        Check::groups_declination_apart, "groups-declination-apart", Severity::ask,
        "two groups of readings (by instrument, observer, year, sheet or setting) differ on shared lines by about "
        "the declination, within 1 degree or 2 standard errors",
        "Was one of them left uncorrected, or corrected twice? Ask whoever took or typed it; nothing is changed"},
    CheckInfo{Check::groups_twice_apart, "groups-twice-apart", Severity::ask,
              "two groups differ on shared lines by about twice the declination, within 1 degree or 2 standard errors",
              "East for west in one of them? Ask which sign was set or applied"},
    CheckInfo{Check::groups_differ, "groups-differ", Severity::ask,
              "two groups differ on 3 or more shared lines by more than 1 degree and 4 standard errors, but neither by "
              "the declination nor by twice it",
              "An index error, an old setting or another reference north: try both instruments on a known line"},
    CheckInfo{Check::group_mirrored, "group-mirrored", Severity::ask,
              "a group's readings run the other way round on shared lines, as on a dial whose east and west are "
              "exchanged: taken "
              "as 360 minus the reading they agree with the others within 5 degrees",
              "Look at the dial: does 090 stand on the left? Then 360 minus the reading was meant"},
    CheckInfo{Check::readings_wrong_end, "readings-wrong-end", Severity::ask,
              "a reading stands within 15 degrees of 180 from the others on its line",
              "The wrong end of the needle, or the line seen from its other end: say backsight yes if so"},
    CheckInfo{Check::groups_scatter, "groups-scatter", Severity::warn,
              "the difference of two groups changes from line to line by more than 0.5 degree beyond what repeated "
              "readings explain (F test, 1 in 1000)",
              "Local attraction at some stations, or several surveys mixed: look at the lines that stand off"},
    CheckInfo{Check::declination_spread, "declination-spread", Severity::warn,
              "the declination changes by more than 0.5 degree over the places and dates of the file",
              "One value does not serve the whole file: let every row have that of its own place and date"},
    CheckInfo{Check::settings_stale, "settings-stale", Severity::warn,
              "what was set on the circle differs from the declination of the date by more than 0.5 degree",
              "Nothing to do for these rows if the setting is right as noted: ask since when it stood there"},
    CheckInfo{Check::settings_sign, "settings-sign", Severity::ask,
              "what was set or applied in a group is the declination with the other sign",
              "East for west on the circle, or only in the notes? Ask: the readings differ by twice the setting"},
    CheckInfo{Check::settings_missing, "settings-missing", Severity::ask,
              "rows read off a circle whose setting is not known", "Ask what was set: 0 and blank are not the same"},
    CheckInfo{Check::settings_mixed, "settings-mixed", Severity::ask,
              "one instrument has different settings on one day", "Was it turned during the day, or is one a slip?"},
    CheckInfo{Check::north_missing, "north-missing", Severity::ask, "rows that do not say from which north they are",
              "Ask whoever took them, and say circle, magnetic, true or grid"},
    CheckInfo{Check::dates_year_only, "dates-year-only", Severity::ask,
              "3 or more rows dated the 1st of January, or by the year alone",
              "If only the year is known, write the year alone: it means mid-year"},
    CheckInfo{Check::dates_heaped, "dates-heaped", Severity::ask,
              "30 or more rows of one day, at places more than 100 km apart or more than 200 by one observer",
              "Is it the day on which they were typed in?"},
    CheckInfo{Check::places_outlying, "places-outlying", Severity::ask,
              "places more than 100 km from all others, with at most a twentieth of the rows",
              "Do they belong to this survey? Check the figures of the degrees"},
    CheckInfo{Check::places_mirrored, "places-mirrored", Severity::ask,
              "places that lie among the others once a sign of latitude or longitude is changed",
              "North for south or east for west?"},
    CheckInfo{Check::places_swapped, "places-swapped", Severity::ask,
              "places that lie among the others once latitude and longitude are exchanged",
              "Are latitude and longitude in each other's column?"},
    CheckInfo{Check::places_zone, "places-zone", Severity::ask,
              "places that lie among the others once the same easting and northing are read in a neighbouring UTM zone",
              "Check the zone number"},
    CheckInfo{Check::places_zero, "places-zero", Severity::ask, "places at 0 N 0 E", "Was the place left blank?"},
    CheckInfo{Check::strikes_half_circle, "strikes-half-circle", Severity::ask,
              "10 or more strikes without a dip letter are all below 180 and spread over more than 90 degrees: by the "
              "right-hand rule some should not be",
              "Was the strike read from whichever end was nearer north? Ask for the side the planes dip to"},
    CheckInfo{Check::strike_dip_direction, "strike-dip-direction", Severity::ask,
              "strike and dip direction are both given and not 90 degrees apart within 2",
              "Look the pair up in the notebook: one of them is a slip"},
    CheckInfo{Check::azimuth_heaping, "azimuth-heaping", Severity::warn,
              "more than half of 30 or more whole-degree azimuths end in 0 or 5 (chi-square of the last digit, 1 in "
              "1000)",
              "They were read to 5 degrees: give a reading_sigma of 1.5 to 3 for them"},
    CheckInfo{Check::azimuth_too_fine, "azimuth-too-fine", Severity::warn,
              "azimuths are written in units below half of their own sigma; the daily swing alone is 0.2 to 0.5 degree",
              "Keep them as they are, and quote results with their sigma"},
    CheckInfo{Check::observed_declination_off, "observed-declination-off", Severity::ask,
              "a declination observed on the spot differs from the model's by more than 3 degrees",
              "Local rock, or a slip in the sun's or the line's azimuth: observe again before it is used"},
    CheckInfo{Check::observed_declination_reject, "observed-declination-reject", Severity::ask,
              "a declination observed on the spot differs from the model's by more than 15 degrees",
              "Reject it unless the rock is known to be magnetic: leave site_declination blank"},
    CheckInfo{Check::mean_across_north, "mean-across-north", Severity::warn,
              "a group's directions lie on both sides of north, and their arithmetic mean is off by more than 1 degree",
              "Average directions by the circular mean, strikes without a dip side by doubled angles"},
    CheckInfo{Check::rows_refused, "rows-refused", Severity::ask, "rows that cannot be corrected as they are",
              "Look them up by their reason"},
    CheckInfo{Check::rows_repeated, "rows-repeated", Severity::ask, "rows that are the same to the last character",
              "Copied twice? They count twice in every mean"},
};

}  // namespace

std::span<const CheckInfo> all_review_checks() noexcept { return kChecks; }
const CheckInfo& info(Check check) noexcept { return kChecks[static_cast<std::size_t>(check)]; }

}  // namespace agonic::review
