// Local attraction from fore and back azimuths: which stations are free of it, and what to add at the others.
//
// The needle at one station is turned by the same angle for every line read there, so that a line read from both ends
// shows the difference of two stations (any text on plane surveying; the procedure is common practice). A constant
// error of the instrument cancels and cannot be seen here: only a line of known azimuth or the sun shows it.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::survey {

/// One line of a traverse as it stands in the notebook. Azimuths are needle azimuths in [0, 360), all of one north.
struct Leg {
  std::string from, to;            ///< names of stations, which differ
  std::optional<double> fore_deg;  ///< read at `from` toward `to`
  std::optional<double> back_deg;  ///< read at `to` toward `from`
  std::optional<double> length_m;  ///< along the line, > 0
  double vertical_deg = 0;         ///< from `from` up to `to`, (-90, 90)
};

struct AttractionRules {
  std::optional<double> tolerance_deg;  ///< fore and back agree within this; empty: the division seen in the readings
  std::vector<std::string> free;        ///< stations declared free; empty: found from the lines that agree
};

enum class StationState {
  free,       ///< on a line whose ends agree
  declared,   ///< said to be free
  attracted,  ///< its correction was carried over from others
  unknown     ///< no line that was read from both ends leads here, or no station is free
};
std::string_view word(StationState state) noexcept;

struct Station {
  std::string name;
  StationState state = StationState::unknown;
  /// To be added to every reading taken here, clockwise positive: the least-squares value of all lines.
  std::optional<double> correction_deg;
  /// The same by plain propagation from the free stations along the lines, and against them; 0 at free stations.
  std::optional<double> forward_deg, backward_deg;
};

enum class LegState {
  agrees,     ///< within the tolerance
  differs,    ///< attraction at one end or both
  misread,    ///< both ends are free by other lines, and still differ by more than twice the tolerance
  one_sided,  ///< read from one end only: nothing checks it
  reversed,   ///< fore and back are equal within 5 degrees: not used until somebody says which it is
  unread      ///< no azimuth at all
};
std::string_view word(LegState state) noexcept;

struct LegFinding {
  LegState state = LegState::unread;
  std::optional<double> difference_deg;      ///< back - fore - 180, (-180, 180]
  std::optional<double> corrected_fore_deg;  ///< with the correction of its station, [0, 360)
  std::optional<double> corrected_back_deg;
  std::optional<double> leftover_deg;  ///< corrected back - corrected fore - 180: 0 where all is explained
  std::optional<double> azimuth_deg;   ///< of the line: the mean of what both ends say, [0, 360)
  bool checked = false;                ///< azimuth_deg rests on stations whose attraction is known
};

/// Two groups of lines, each agreeing in itself, that the lines between them hold apart.
struct GroupConflict {
  std::vector<std::string> stations;  ///< of the group that was not held
  double apart_deg = 0;               ///< its attraction by the lines between
};

struct LocalAttraction {
  double tolerance_deg = 0;
  bool tolerance_given = false;
  std::vector<Station> stations;  ///< in the order in which they first appear
  std::vector<LegFinding> legs;   ///< one a leg
  std::vector<GroupConflict> conflicts;
  /// All lines differ by the same: no place does that, a needle does.
  std::optional<double> constant_difference_deg;
  [[nodiscard]] const Station* find(std::string_view name) const;
  [[nodiscard]] bool any_free() const;
};

/// Stations and legs that a traverse may have.
inline constexpr std::size_t kMostLegs = 2000;

/// Refuses an empty traverse, one of more than kMostLegs, a tolerance outside (0, 10], and a free station that is none.
Result<LocalAttraction> local_attraction(std::span<const Leg> legs, const AttractionRules& rules);

}  // namespace agonic::survey
