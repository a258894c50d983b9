#include "model/reading/columns.hpp"

#include <algorithm>
#include <string>

#include "model/units/number.hpp"

namespace agonic::reading {
namespace {

constexpr std::array<std::string_view, kColumns> kColumnNames{"place",
                                                              "lat",
                                                              "lon",
                                                              "height_m",
                                                              "date",
                                                              "kind",
                                                              "azimuth",
                                                              "azimuth_unit",
                                                              "dip",
                                                              "dip_direction",
                                                              "rake",
                                                              "plunge",
                                                              "vertical_angle",
                                                              "vertical_unit",
                                                              "plane_convention",
                                                              "north_reference",
                                                              "set_declination",
                                                              "applied_declination",
                                                              "applied_grid_magnetic",
                                                              "crs",
                                                              "target_crs",
                                                              "instrument",
                                                              "azimuth_index_error",
                                                              "vertical_index_error",
                                                              "dip_index_error",
                                                              "graduation",
                                                              "reading_sigma",
                                                              "dip_sigma",
                                                              "backsight",
                                                              "site_declination",
                                                              "site_declination_sigma",
                                                              "target_date"};

constexpr std::array<std::string_view, kAdded> kAddedNames{"azimuth_true",
                                                           "dip_direction_true",
                                                           "azimuth_grid",
                                                           "azimuth_magnetic",
                                                           "azimuth_sigma",
                                                           "dip_corrected",
                                                           "plunge_corrected",
                                                           "vertical_angle_corrected",
                                                           "declination",
                                                           "declination_sigma",
                                                           "declination_95",
                                                           "convergence",
                                                           "correction",
                                                           "set_declination_used",
                                                           "index_error_used",
                                                           "date_used",
                                                           "model",
                                                           "software",
                                                           "status",
                                                           "checks",
                                                           "remark",
                                                           "azimuth_true_text",
                                                           "azimuth_at_target"};

// In a shorter name another letter makes another word; there only a doubled last letter or an s more is a slip.
constexpr std::size_t kLongName = 6;

bool slip(std::string_view name, std::string_view column) {
  if (column.size() >= kLongName) return one_letter_off(name, column);
  return name.size() == column.size() + 1 && name.starts_with(column) &&
         (name.back() == 's' || name.back() == column.back());
}

// Small letters and digits only.
std::string fold(std::string_view name) {
  std::string out;
  for (char c : name)
    if (c != ' ' && c != '-' && c != '_') out += c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
  return out;
}

template <class Enum, std::size_t size>
std::optional<Enum> find(const std::array<std::string_view, size>& names, std::string_view name) noexcept {
  const auto it = std::find(names.begin(), names.end(), name);
  if (it == names.end()) return std::nullopt;
  return static_cast<Enum>(it - names.begin());
}

}  // namespace

std::string_view name(Column column) noexcept { return kColumnNames[static_cast<std::size_t>(column)]; }
std::string_view name(Added added) noexcept { return kAddedNames[static_cast<std::size_t>(added)]; }
std::optional<Column> column_of(std::string_view name) noexcept { return find<Column>(kColumnNames, name); }

std::optional<Column> nearly(std::string_view name) {
  const std::string folded = fold(name);
  for (std::size_t i = 0; i < kColumns; ++i) {
    const std::string_view column = kColumnNames[i];
    if (folded.size() + 4 < column.size() || folded.size() > column.size() + 1) continue;
    const std::string plain = fold(column);
    if (folded == plain || slip(folded, plain)) return static_cast<Column>(i);
  }
  return std::nullopt;
}
std::optional<Added> added_of(std::string_view name) noexcept { return find<Added>(kAddedNames, name); }

bool is_azimuth(Added added) noexcept {
  return added == Added::azimuth_true || added == Added::dip_direction_true || added == Added::azimuth_grid ||
         added == Added::azimuth_magnetic || added == Added::azimuth_at_target;
}

}  // namespace agonic::reading
