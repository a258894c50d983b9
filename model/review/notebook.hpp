// A whole data set as the review looks at it: what each row said and what the correction made of it, held in memory.
#pragma once

#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "model/geodesy/place.hpp"
#include "model/reading/checks.hpp"
#include "model/reading/corrector.hpp"
#include "model/reading/reading.hpp"
#include "model/units/problem.hpp"

namespace agonic::review {

/// By what rows are grouped.
enum class Factor { instrument, observer, year, sheet, setting, custom, instrument_year, observer_year };
inline constexpr std::size_t kFactors = static_cast<std::size_t>(Factor::observer_year) + 1;

/// The number of a text among those seen; 0 is the empty one.
using NameId = std::uint32_t;

class Names {
 public:
  Names() { id(""); }
  NameId id(std::string_view text);
  [[nodiscard]] const std::string& text(NameId id) const { return texts_[id]; }
  [[nodiscard]] std::size_t size() const { return texts_.size(); }

 private:
  std::vector<std::string> texts_;
  std::unordered_map<std::string, NameId> ids_;
};

/// One row. Angles in degrees, east and clockwise positive; NaN where there is none.
struct Entry {
  std::uint64_t row = 0, line = 0;  ///< data rows and lines of the file from 1; line 0 where there are none
  reading::Status status = reading::Status::refused;
  bool read = false;  ///< its cells could be read: what follows is filled
  std::optional<Code> refused_for;
  std::array<NameId, kFactors> group{};  ///< by factor; 0: none
  NameId known_as = 0;                   ///< its line, structure or station; 0: none
  bool known_by_id = false;              ///< only its id tells the station

  reading::Kind kind = reading::Kind::direction;
  reading::NorthReference north = reading::NorthReference::unknown;
  reading::PlaneConvention convention = reading::PlaneConvention::right_hand;
  bool dip_letter = false, quadrant = false;
  bool year_only = false, first_of_january = false;
  geodesy::Place::Notation notation = geodesy::Place::Notation::degrees;
  signed char decimals = -1;  ///< of the azimuth as written; -1: not a plain decimal number
  reading::CheckSet checks;

  double lat = kNone, lon = kNone, year = kNone;
  std::chrono::sys_days day{};
  double as_read = kNone, azimuth_true = kNone, azimuth_sigma = kNone, correction = kNone;
  double strike_true = kNone;  ///< planes: by the right-hand rule, or an axis where no side is known
  bool axis = false;           ///< strike_true is one of two ends
  double dip = kNone;
  double declination = kNone, declination_sigma = kNone;  ///< the model's
  double set = kNone, applied = kNone, observed = kNone;
  double other_strike = kNone, other_dip_direction = kNone;  ///< columns strike and dip_direction of the row's own
  std::size_t digest = 0;                                    ///< of its bytes

  static constexpr double kNone = -1e300;
};
inline bool has(double value) noexcept { return value > -1e299; }

/// The whole file.
struct Notebook {
  std::vector<Entry> entries;
  Names names;
  std::array<std::string, kFactors> factor_names;  ///< as to be shown: "instrument", or the column of group_by
  std::uint64_t corrected = 0, unchanged = 0, refused = 0;
  std::vector<std::pair<Code, Problem>> first_problem;  ///< of each reason for a refusal, the first row's
  bool lines = false;                                   ///< the format has lines
};

}  // namespace agonic::review
