// What found lines and the day's swing may be told.
#include "model/checks/tables.hpp"
#include "model/survey/thresholds.hpp"

namespace agonic::checks {
namespace {

namespace limit = survey::threshold;
constexpr std::uint16_t kLines = at(Where::rotation), kSwing = at(Where::swing);
constexpr std::string_view kDay = "tests/data/observatory-day.iaga";

constexpr std::array kEntries{
    Entry{"pairs-few",
          Kind::warn,
          kLines,
          "There are fewer than three pairs of old and found directions.",
          "Two pairs cannot tell which of them is wrong, one pair not even that there is an error.",
          "Find a third line before anything hangs on the rotation.",
          {Where::rotation, {"old,found\n10,13\n75,78\n"}, {"old,found\n10,13\n75,78\n140,143\n"}},
          {{{"pairs", limit::kPairsAsked, "", Basis::common_practice}}}},
    Entry{"pair-outlying",
          Kind::ask,
          kLines,
          "A pair lies far from the others: 5 robust sigmas and half a degree from their median. It is left out of the "
          "mean and shown.",
          "It is a misread line, a line of another survey, or not the same line.",
          "Look it up; where several are out alike, the survey was run in parts.",
          {Where::rotation,
           {"old,found\n10,13\n75,78.2\n140,143\n200,203.1\n260,272\n"},
           {"old,found\n10,13\n75,78.2\n140,143\n200,203.1\n260,263\n"}},
          {{{"from the median", limit::kOutlierSigmas, "sigma", Basis::judgement},
            {"and at least", limit::kOutlierLeastDeg, "degree", Basis::judgement}}}},
    Entry{
        "rotation-spread",
        Kind::warn,
        kLines,
        "The pairs scatter by more than 0.5 degree (1-sigma of one).",
        "Old needles were read to a quarter or half: more is local attraction along the old lines, or several surveys.",
        "Work the lines of each survey, each day or each stretch apart.",
        {Where::rotation, {"old,found\n10,13\n75,79\n140,142\n"}, {"old,found\n10,13\n75,78.2\n140,142.9\n"}},
        {{{"1-sigma of a pair", limit::kRotationSpreadDeg, "degree", Basis::judgement}}}},
    Entry{"found-north-unsaid",
          Kind::note,
          kLines,
          "It is not said from which north the found directions are.",
          "The rotation stands by itself; the declination of the old survey cannot be told from it.",
          "Say found_reference=true, grid or magnetic.",
          {Where::rotation,
           {"old,found\n10,13\n75,78\n140,143\n"},
           {"old,found\n10,13\n75,78\n140,143\n", "found_reference=true"}}},
    Entry{"rotation-against-model",
          Kind::ask,
          kLines,
          "The declination that the lines imply differs from the model's by more than both leave open (95 %).",
          "Another date than believed, the variation set off to the wrong side or not at all, local rock, or a needle "
          "with an error of its own: each makes another line in the wood.",
          "Look for the survey's date and for what was set off. The message says whether sign or nothing fits.",
          {Where::rotation,
           {"old,found\n10,17\n75,82\n140,147\n", "found_reference=true; place=46 8; date=1925"},
           {"old,found\n10,1.5\n75,66.5\n140,131.5\n", "found_reference=true; place=46 8; date=1925"}}},
    Entry{"boundaries",
          Kind::note,
          kLines,
          "Said with every rotation.",
          "Old corners and monuments come before any needle.",
          "Retracing a boundary is a matter of local rules and licensed surveyors.",
          {Where::rotation, {"old,found\n10,13\n75,78\n140,143\n"}, {}}},
    Entry{"magnetic-storm",
          Kind::warn,
          kSwing,
          "Within the three hours about a reading the east component ranged over 120 nT (disturbed) or 200 nT (storm), "
          "changed by 30 nT in a minute, or stood half a degree off its quiet level.",
          "In a storm the departure differs from place to place: the observatory's is not the reading's.",
          "Read again on a quiet day if it matters.",
          {Where::swing, {kDay, "time=2026-06-15T20:30Z"}, {kDay, "time=2026-06-15T07:40Z"}},
          {{{"range, disturbed", limit::kDisturbedNt, "nT", Basis::common_practice},
            {"rate", limit::kStormNtPerMinute, "nT a minute", Basis::judgement},
            {"departure", limit::kDisturbedDeg, "degree", Basis::judgement}}}},
    Entry{"file-against-model",
          Kind::ask,
          kSwing,
          "The file's quiet level is more than 3 degrees from the model at the observatory.",
          "D in degrees where the format has minutes makes all departures 60 times too small; west-positive D turns "
          "every "
          "sign.",
          "See that it is the right file and that its D is minutes of arc, east positive.",
          {Where::swing, {"an observatory's file with D in degrees"}, {"the same with D in minutes of arc"}, true},
          {{{"quiet level less model", limit::kFileAgainstModelDeg, "degree", Basis::judgement}}}},
    Entry{"distance-unknown",
          Kind::warn,
          kSwing,
          "A reading has no place and is taken as at the observatory.",
          "The uncertainty does not grow with the distance, as it should.",
          "Give place, or lat and lon.",
          {Where::swing, {kDay, "time=2026-06-15T07:40Z"}, {kDay, "time=2026-06-15T07:40Z; place=46.5 7.25"}}},
    Entry{"swing-expected",
          Kind::note,
          kSwing,
          "Without an observatory's file the swing of a usual day is told, by latitude: 0.2 to 0.5 degree in middle "
          "latitudes.",
          "Most of it falls between 7 and 15 h local time; storms are not in it.",
          "An observatory's file of the day tells what it was.",
          {Where::swing, {"", "lat=55.3; lon=-3.2"}, {kDay, "time=2026-06-15T07:40Z"}}},
    Entry{"lines-left-out",
          Kind::warn,
          kSwing,
          "Lines of the observatory's file could not be read and were left out.",
          "A file that was edited or cut may be shifted as well.",
          "Fetch the file again.",
          {Where::swing, {"a file with a word in the column of D"}, {"the same file as published"}, true}},
    Entry{"quiet-level",
          Kind::note,
          kSwing,
          "How the quiet level was formed, said with every file.",
          "A departure means nothing without what it departs from.",
          "Nothing to do.",
          {Where::swing, {kDay, "time=2026-06-15T07:40Z"}, {"", "lat=55.3; lon=-3.2"}}},
};

}  // namespace

std::span<const Entry> rotation_and_swing_notes() noexcept { return kEntries; }

}  // namespace agonic::checks
