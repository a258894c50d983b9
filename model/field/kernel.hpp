// Inside of model/field only: what the per-processor code offers to the functions of field.hpp.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "model/field/field.hpp"

namespace agonic::field {

/// Where one result goes: value i to data[i * stride]. No data: not wanted.
struct Column {
  double* data = nullptr;
  std::size_t stride = 1;
};

/// The results in this order.
enum ResultIndex : std::size_t {
  kNorth,
  kEast,
  kDown,
  kNorthChange,
  kEastChange,
  kDownChange,
  kHorizontal,
  kTotal,
  kDeclination,
  kInclination,
  kHorizontalChange,
  kTotalChange,
  kDeclinationChange,
  kInclinationChange,
  kResults,
};
using Columns = std::array<Column, kResults>;

/// Points whose dates lie in one piece of time.
struct Run {
  const CoefficientSet* model = nullptr;
  const TimePiece* piece = nullptr;
  Points points;
  std::size_t size = 0;  ///< of each column, at least 1
  const Columns* out = nullptr;
};

/// Rows of a grid: every latitude with every longitude, row after row.
struct GridRun {
  const CoefficientSet* model = nullptr;
  const TimePiece* piece = nullptr;
  std::span<const double> lat_deg, lon_deg;
  double height_m = 0, decimal_year = 0;
  const Columns* out = nullptr;
};

/// The code for one kind of processor.
struct Kernel {
  std::string_view name;
  void (*run)(const Run&);
  void (*grid)(const GridRun&);
  void (*elements)(std::span<const FieldVector>, const Columns&);
};

/// The one in use (cpu.hpp).
const Kernel& kernel() noexcept;

}  // namespace agonic::field
