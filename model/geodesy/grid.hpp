// Grids: which way their north points at a place.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic::geodesy {

/// A grid at one place.
struct GridAt {
  double convergence_deg = 0;  ///< from true north to grid north, east positive, (-180, 180]
  std::string name;            ///< "UTM 32N", "UPS S", or the name that was given: "EPSG:27700"
  double easting_m = 0;        ///< metres toward the grid's east, whatever the unit and axes the grid is used with
  double northing_m = 0;       ///< metres toward the grid's north
};

/// Named grids with what is needed to compute in them, kept from call to call.
///
/// Names: `utm` (the standard UTM or UPS zone of the place, with Norway and Svalbard), a zone (`UTM 32N`, `32N`,
/// `utm32`, `33`, `32V`), UTM on WGS84 as `EPSG:32633`, `UPS N`, a projected coordinate reference system known to PROJ
/// (`EPSG:27700`), or a projection in PROJ's words (`+proj=tmerc +lon_0=147 ...`). A zone names its meridian; the
/// hemisphere is that of the place unless an EPSG number says otherwise.
///
/// Grid north is where the northing grows, also in systems that count southings or westings. The place is taken on the
/// system's own datum, without a shift: a few hundred metres, which move a convergence by thousandths of a degree.
/// Convergences are accurate to kAccuracyDeg.
///
/// One object a thread: it is neither copyable nor to be shared. It never uses the network. The first call with a new
/// name may take milliseconds, later ones microseconds; the last kKept names are kept, refused ones too.
class Grids {
 public:
  static constexpr double kAccuracyDeg = 1e-7;
  static constexpr std::size_t kKept = 64;
  /// Degrees beyond a system's published area in which it is still served.
  static constexpr double kAreaMarginDeg = 3;

  Grids();
  ~Grids();
  Grids(Grids&&) noexcept;
  Grids& operator=(Grids&&) noexcept;

  /// The grid `crs` at a place.
  /// @param lat_deg [-90, 90]
  /// @param lon_deg [-180, 360], east positive
  /// @returns field "crs": Code::grid_unknown for a name that is no projected grid, Code::grid_out_of_area for a place
  ///   beyond it; Code::place_out_of_range, field "place".
  Result<GridAt> at(std::string_view crs, double lat_deg, double lon_deg);

  /// What is wrong with a name, whatever the place; empty for a good one.
  std::optional<Problem> check(std::string_view crs);

 private:
  class Kept;
  std::unique_ptr<Kept> kept_;
};

}  // namespace agonic::geodesy
