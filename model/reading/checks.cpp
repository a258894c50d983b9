#include "model/reading/checks.hpp"

#include <array>
#include <cstddef>

namespace agonic::reading {
namespace {

constexpr std::array kChecks{
    CheckInfo{Check::declination_differs, "declination-differs", Severity::ask,
              "a declination entered differs from the model's by more than 1 degree and 3 sigma",
              "Look up what was set or applied, and when"},
    CheckInfo{Check::declination_sign, "declination-sign", Severity::ask,
              "a declination entered is the model's with the other sign", "East for west? Look it up"},
    CheckInfo{Check::declination_unset, "declination-unset", Severity::ask,
              "an applied declination of 0 where the model's is far from it", "Was anything applied at all?"},
    CheckInfo{Check::true_but_circle_unset, "true-but-circle-unset", Severity::ask,
              "called true, while the circle of a needle instrument was not set",
              "If it was read off a circle set to 0, it is magnetic: say north_reference circle"},
    CheckInfo{Check::setting_stale, "setting-stale", Severity::warn,
              "the declination on the date differs from what was set by more than 0.5 degree",
              "Nothing to do for these rows: they are corrected; set the circle anew"},
    CheckInfo{Check::first_of_january, "first-of-january", Severity::ask,
              "dated the 1st of January: often only the year was known",
              "If so, write the year alone: it means mid-year"},
    CheckInfo{Check::map_note_old, "map-note-old", Severity::ask,
              "a map's note more than 5 years from the reading: its yearly change no longer holds", "Prefer the model"},
    CheckInfo{Check::map_note_gap, "map-note-gap", Severity::warn,
              "a map's note and the model differ by more than 0.5 degree",
              "Prefer the model, or observe the declination"},
    CheckInfo{Check::needle_caution, "needle-caution", Severity::warn,
              "the horizontal field is below 6000 nT: the needle is weak",
              "Check against a line of known azimuth or the sun"},
    CheckInfo{Check::needle_forced, "needle-forced", Severity::warn,
              "the horizontal field is below 2000 nT: a needle does not point reliably, and this was forced",
              "Use the sun or a known line"},
    CheckInfo{Check::dip_flat, "dip-flat", Severity::warn,
              "a dip below 10 degrees: the strike is poorly defined (error about dip error / sin dip)",
              "Use the azimuth with its sigma"},
    CheckInfo{Check::dip_direction_differs, "dip-direction-differs", Severity::ask,
              "dip_direction is more than 2 degrees from where strike and convention say that the plane dips",
              "Which of the two is right? See the notebook, and plane_convention"},
    CheckInfo{Check::precision_fine, "precision-finer-than-sigma", Severity::warn,
              "the azimuth is written finer than a tenth of its sigma (the daily swing alone is 0.2 to 0.5 degree)",
              "Keep the digits as they are, and quote the azimuth with its sigma"},
    CheckInfo{Check::position_zero, "position-zero", Severity::ask, "the place is 0 N 0 E",
              "Was the place left blank?"},
    CheckInfo{Check::utm_zone_mismatch, "utm-zone-mismatch", Severity::warn,
              "the UTM zone written is not the standard one of the place", "Check the zone number"},
    CheckInfo{
        Check::datum_not_stated, "datum-not-stated", Severity::warn,
        "grid coordinates without a datum, taken as WGS84 (an old datum shifts about 100 m: harmless for declination)",
        "Say datum=wgs84 if it is, or transform the coordinates"},
    CheckInfo{Check::height_unit, "height-unit", Severity::ask, "a height outside -1000 to 10000 m",
              "Metres? Not feet or kilometres?"},
    CheckInfo{Check::index_error_large, "index-error-large", Severity::warn,
              "an azimuth index error beyond 5 degrees: a bent needle or iron, or a circle left set",
              "Check the instrument on a line of known azimuth"},
};

}  // namespace

std::span<const CheckInfo> all_checks() noexcept { return kChecks; }
const CheckInfo& info(Check check) noexcept { return kChecks[static_cast<std::size_t>(check)]; }

}  // namespace agonic::reading
