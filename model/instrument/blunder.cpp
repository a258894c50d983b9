#include "model/instrument/blunder.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "model/units/angle.hpp"

namespace agonic::instrument {
namespace {

struct Words {
  Blunder blunder;
  std::string_view word, meaning;
};
constexpr std::array kWords{
    Words{Blunder::none, "", ""},
    Words{Blunder::wrong_end, "wrong-end",
          "180 degrees off: the wrong end of the needle was read, or the line was looked along the other way."},
    Words{Blunder::mirror_figures, "mirror-figures",
          "It fits as 360 minus the reading: the figures of this dial run the other way, or were read so."},
    Words{Blunder::setting_sign, "setting-sign",
          "It fits if the circle was set to the other side than noted: check the sign of set_declination."},
    Words{Blunder::setting_absent, "setting-absent",
          "It fits if nothing was set on the circle, although set_declination says so."},
    Words{Blunder::declination_sign, "declination-sign",
          "It fits if the known azimuth got the declination with the wrong sign."},
    Words{Blunder::known_magnetic, "known-is-magnetic",
          "It fits if the known azimuth is magnetic, not true or grid as said."},
    Words{Blunder::clock_hour, "clock-hour",
          "It fits with the clock an hour off, or local time taken for UTC: check the offset of the time."},
    Words{Blunder::vertical_sign, "vertical-sign",
          "Fore and back angle have the same sign: one of them lost its minus, or is reversed already."},
    Words{Blunder::gross, "gross",
          "It fits with nothing: misread, miswritten, another line, or iron near. Take it again."},
};
static_assert(kWords.size() == static_cast<std::size_t>(Blunder::gross) + 1);

}  // namespace

std::string_view word(Blunder blunder) noexcept { return kWords[static_cast<std::size_t>(blunder)].word; }
std::string_view meaning(Blunder blunder) noexcept { return kWords[static_cast<std::size_t>(blunder)].meaning; }

std::vector<Blunder> explain(const std::vector<Explanation>& explanations, double expected_deg, double residual_deg,
                             double tolerance_deg) {
  std::vector<std::pair<double, Blunder>> fitting;
  for (const Explanation& e : explanations) {
    const double left = std::abs(wrap_180(e.index_deg - expected_deg));
    if (left <= tolerance_deg && left <= std::abs(residual_deg) / 3) fitting.emplace_back(left, e.blunder);
  }
  std::stable_sort(fitting.begin(), fitting.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<Blunder> out;
  for (const auto& [left, blunder] : fitting)
    if (std::find(out.begin(), out.end(), blunder) == out.end()) out.push_back(blunder);
  return out;
}

}  // namespace agonic::instrument
