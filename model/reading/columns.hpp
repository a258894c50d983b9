// The public names of a batch's columns: what is read, what is added.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace agonic::reading {

/// Columns that are read (CSV header names, JSON keys). Every other column passes through.
enum class Column {
  place,
  lat,
  lon,
  height_m,
  date,
  kind,
  azimuth,
  azimuth_unit,
  dip,
  dip_direction,
  rake,
  plunge,
  vertical_angle,
  vertical_unit,
  plane_convention,
  north_reference,
  set_declination,
  applied_declination,
  applied_grid_magnetic,
  crs,
  target_crs,
  instrument,
  azimuth_index_error,
  vertical_index_error,
  dip_index_error,
  graduation,
  reading_sigma,
  dip_sigma,
  backsight,
  site_declination,
  site_declination_sigma,
  target_date,
};
inline constexpr std::size_t kColumns = static_cast<std::size_t>(Column::target_date) + 1;
std::string_view name(Column column) noexcept;
std::optional<Column> column_of(std::string_view name) noexcept;

/// The column that a name which is none was probably meant for: the same but for capitals, blanks, hyphens and
/// underscores, or one letter off (in a short name: with an s or a doubled last letter; a digit behind a name is a
/// numbering). Such a column would be passed over in silence.
std::optional<Column> nearly(std::string_view name);

/// Columns that are added, in this order; the last only with a target date.
enum class Added {
  azimuth_true,
  dip_direction_true,
  azimuth_grid,
  azimuth_magnetic,
  azimuth_sigma,
  dip_corrected,
  plunge_corrected,
  vertical_angle_corrected,
  declination,
  declination_sigma,
  declination_95,
  convergence,
  correction,
  set_declination_used,
  index_error_used,
  date_used,
  model,
  software,
  status,
  checks,
  remark,
  azimuth_true_text,
  azimuth_at_target,
};
inline constexpr std::size_t kAdded = static_cast<std::size_t>(Added::azimuth_at_target) + 1;
std::string_view name(Added added) noexcept;
std::optional<Added> added_of(std::string_view name) noexcept;
/// Azimuths print in [0, 360): 360.000 as 0.000.
bool is_azimuth(Added added) noexcept;

/// One cell of a row as it came in.
struct Cell {
  enum class State : unsigned char { absent, text, number, null };
  State state = State::absent;
  std::string_view text;  ///< as given, spaces at the ends included; lives as long as the row
};

/// A set of columns, one bit each.
using ColumnSet = std::uint64_t;
constexpr ColumnSet bit(Column column) noexcept { return ColumnSet{1} << static_cast<unsigned>(column); }
static_assert(kColumns <= 64);

/// The cells of one row by column. A blank text counts as absent.
class Cells {
 public:
  /// Of a file taken again: what was added to this row before, so that it can be undone and compared.
  Cell earlier_azimuth_true, earlier_correction, earlier_checks;

  [[nodiscard]] const Cell& operator[](Column column) const noexcept {
    static constexpr Cell kAbsent;
    return (touched_ & bit(column)) != 0 ? by_column_[static_cast<std::size_t>(column)] : kAbsent;
  }
  Cell& operator[](Column column) noexcept {
    Cell& cell = by_column_[static_cast<std::size_t>(column)];
    if ((touched_ & bit(column)) == 0) cell = {};
    touched_ |= bit(column);
    return cell;
  }
  void clear() noexcept {
    touched_ = 0;
    earlier_azimuth_true = earlier_correction = earlier_checks = {};
  }
  /// The columns whose cells may be other than absent.
  [[nodiscard]] ColumnSet touched() const noexcept { return touched_; }

 private:
  ColumnSet touched_ = 0;
  std::array<Cell, kColumns> by_column_;
};

}  // namespace agonic::reading
