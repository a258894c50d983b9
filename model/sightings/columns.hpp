// The public names of what is read of a sighting (CSV header names, JSON members).
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic::sightings {

enum class Column {
  id,
  instrument,
  observer,
  line,    ///< name of the line sighted
  target,  ///< line (default), sun, shadow
  place,
  lat,
  lon,
  height_m,
  date,
  time,        ///< of a sun sighting; with Z or an offset
  time_sigma,  ///< seconds
  azimuth,     ///< as read
  azimuth_unit,
  north_reference,  ///< circle (default with set_declination), magnetic
  set_declination,
  backsight,
  known_azimuth,
  known_north,  ///< true, grid
  known_sigma,
  crs,
  site_declination,
  site_declination_sigma,
  graduation,
  reading_sigma,
  vertical_fore,
  vertical_back,
  vertical_sigma,
  dip,
  dip_reversed,
  dip_sigma,
};
inline constexpr std::size_t kColumns = static_cast<std::size_t>(Column::dip_sigma) + 1;
std::string_view name(Column column) noexcept;
std::optional<Column> column_of(std::string_view name) noexcept;
/// The column that a misspelt name was probably meant for: the same but for capitals, blanks, hyphens, underscores, or
/// in a name of six letters and more one letter off.
std::optional<Column> nearly(std::string_view name);

/// One sighting as text. Blank cells are empty.
struct Row {
  std::uint64_t row = 0;   ///< data rows from 1
  std::uint64_t line = 0;  ///< of the file; 0 where there are none
  std::array<std::string, kColumns> cells;
  char mark = '.';                 ///< decimal mark of the cells
  std::optional<Problem> problem;  ///< the row cannot be read at all
  [[nodiscard]] const std::string& operator[](Column column) const { return cells[static_cast<std::size_t>(column)]; }
  std::string& operator[](Column column) { return cells[static_cast<std::size_t>(column)]; }
};

}  // namespace agonic::sightings
