#include "model/sightings/columns.hpp"

#include <algorithm>

#include "model/units/number.hpp"

namespace agonic::sightings {
namespace {

constexpr std::array<std::string_view, kColumns> kNames{"id",
                                                        "instrument",
                                                        "observer",
                                                        "line",
                                                        "target",
                                                        "place",
                                                        "lat",
                                                        "lon",
                                                        "height_m",
                                                        "date",
                                                        "time",
                                                        "time_sigma",
                                                        "azimuth",
                                                        "azimuth_unit",
                                                        "north_reference",
                                                        "set_declination",
                                                        "backsight",
                                                        "known_azimuth",
                                                        "known_north",
                                                        "known_sigma",
                                                        "crs",
                                                        "site_declination",
                                                        "site_declination_sigma",
                                                        "graduation",
                                                        "reading_sigma",
                                                        "vertical_fore",
                                                        "vertical_back",
                                                        "vertical_sigma",
                                                        "dip",
                                                        "dip_reversed",
                                                        "dip_sigma"};
constexpr std::size_t kLongName = 6;

std::string fold(std::string_view name) {
  std::string out;
  for (const char c : lower(name))
    if (c != ' ' && c != '-' && c != '_') out += c;
  return out;
}

}  // namespace

std::string_view name(Column column) noexcept { return kNames[static_cast<std::size_t>(column)]; }

std::optional<Column> column_of(std::string_view name) noexcept {
  const auto at = std::find(kNames.begin(), kNames.end(), name);
  if (at == kNames.end()) return std::nullopt;
  return static_cast<Column>(at - kNames.begin());
}

std::optional<Column> nearly(std::string_view name) {
  const std::string folded = fold(name);
  for (std::size_t i = 0; i < kColumns; ++i) {
    const std::string plain = fold(kNames[i]);
    if (folded == plain || (plain.size() >= kLongName && one_letter_off(folded, plain))) return static_cast<Column>(i);
  }
  return std::nullopt;
}

}  // namespace agonic::sightings
