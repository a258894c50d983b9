// A traverse as a document: what was read of it, what was found, and the words for both.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/desk/parts.hpp"
#include "model/survey/coordinates.hpp"
#include "model/survey/figure.hpp"
#include "model/survey/local_attraction.hpp"

namespace agonic::desk {

struct TraverseSheet {
  Table table;
  std::vector<std::optional<Problem>> refused;            ///< one a row
  std::vector<std::size_t> row_of;                        ///< of each leg
  std::vector<survey::Leg> legs;                          ///< the rows that could be read
  std::vector<std::optional<double>> vertical_index_deg;  ///< of each leg read up and down: reading minus truth
  bool backs_reversed = false;
  survey::Precision precision;
  reading::AzimuthStyle style;
  std::optional<lookup::Answer> where;
  double set_deg = 0, index_deg = 0;  ///< what stood on the circle, and its index error

  survey::LocalAttraction found;
  std::optional<survey::ClosedFigure> figure;
  std::vector<std::optional<double>> azimuths_deg;  ///< of the needle, one a leg: by angles, else by stations
  std::optional<survey::Coordinates> coordinates;
  std::string coordinates_north;  ///< "grid north, UTM 32N" or "the needle's north"

  /// The true azimuth of a leg; nothing without place and date.
  [[nodiscard]] std::optional<double> true_deg(std::size_t leg) const;
  [[nodiscard]] std::optional<double> grid_deg(std::size_t leg) const;
  /// 1-sigma of both: that of the declination, common to all lines, and that of a reading.
  [[nodiscard]] std::optional<double> sigma_deg(std::size_t leg) const;
};

std::vector<Note> traverse_notes(const TraverseSheet& sheet);
/// One a row of the table.
std::vector<Added> traverse_added(const TraverseSheet& sheet);
std::string traverse_text(const TraverseSheet& sheet, const std::vector<Note>& notes);
std::string traverse_json(const TraverseSheet& sheet, const std::vector<Note>& notes);

}  // namespace agonic::desk
