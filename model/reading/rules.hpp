// How the rows of one batch are read: defaults for columns and the options beside them.
#pragma once

#include <array>
#include <chrono>
#include <memory>
#include <optional>
#include <string>

#include "model/geodesy/place.hpp"
#include "model/instrument/registry.hpp"
#include "model/reading/columns.hpp"
#include "model/reading/notation.hpp"
#include "model/units/date.hpp"

namespace agonic::reading {

/// Immutable during a batch.
struct Rules {
  char cell_mark = '.';  ///< decimal mark of text cells; numbers of JSON and defaults always use the point
  geodesy::Letters letters;
  DateOrder date_order = DateOrder::undeclared;
  std::chrono::sys_days today{};
  std::string model = "auto";
  bool force_unusable = false;
  /// Where the column `instrument` is looked up; null: nowhere.
  std::shared_ptr<const instrument::Registry> instruments;
  bool datum_stated = false;  ///< datum=wgs84 was declared
  /// The default of each column, as given. JSON null (unknown) is kept as such.
  std::array<std::optional<std::string>, kColumns> defaults;
  std::array<bool, kColumns> typed{};  ///< a default typed by a person: there an unsigned declination is refused
};

}  // namespace agonic::reading
