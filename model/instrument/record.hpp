// What is known of one instrument: its circle, what it reads wrong, what was set on it, and who said so when and why.
//
// Nothing is overwritten. Every change takes the next version number of the record; what was said before stays.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "model/instrument/index_covariance.hpp"
#include "model/instrument/index_curve.hpp"
#include "model/instrument/setting.hpp"
#include "model/units/date.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

/// Longest texts that are kept, bytes.
inline constexpr std::size_t kIdMax = 64;
inline constexpr std::size_t kTextMax = 2000;

/// Who recorded a version, when and why.
struct Recorded {
  int version = 0;   ///< from 1, counted over all changes of the record
  std::string who;   ///< the name of a key, or "local"
  std::string when;  ///< UTC, "2026-03-01T12:00:00Z"
  std::string why;
};

/// What kind of instrument it is. The newest description is taken for every date: a change of it mends the record.
struct Description {
  CircleKind circle;
  std::optional<double> clinometer_graduation_deg;  ///< (0, 10]
  std::optional<double> hinge_graduation_deg;       ///< (0, 10]
  std::string note;
};

/// The days on which a statement holds, UTC, both included. An open end lasts until a later statement begins.
struct Span {
  std::chrono::sys_days from{};
  std::optional<std::chrono::sys_days> until;
  [[nodiscard]] bool covers(std::chrono::sys_days day) const { return day >= from && (!until || day <= *until); }
};

enum class IndexKind { azimuth, vertical, dip };
std::string_view word(IndexKind kind) noexcept;

/// An index error: reading minus truth, degrees (azimuth: clockwise; vertical: reads too high; dip: reads too steep).
struct IndexError {
  IndexKind kind = IndexKind::azimuth;
  bool known = true;           ///< false: from this day on it is not known (the instrument was dropped)
  IndexCurve curve;            ///< vertical and dip: its constant alone
  IndexCovariance covariance;  ///< the same: AA = sigma^2
  Span span;
  std::string how;               ///< how it was found, as "known line"
  std::optional<int> sightings;  ///< from how many, at least 1
  [[nodiscard]] double constant_sigma_deg() const;
};

/// What was set on the circle, degrees east positive, (-180, 180]; empty: not known from this day on.
struct CircleSet {
  std::optional<double> declination_deg;
  Span span;
};

enum class ChangeKind { description, index_error, setting };
std::string_view word(ChangeKind kind) noexcept;
std::optional<ChangeKind> change_kind_of(std::string_view word) noexcept;

/// One change, without who, when and why.
using Change = std::variant<Description, IndexError, CircleSet>;
ChangeKind kind_of(const Change& change) noexcept;

template <class What>
struct Version {
  Recorded recorded;
  What what;
};

/// One instrument of one team. Versions stand in the order in which they were recorded.
struct Record {
  std::string id;
  std::string team;
  int version = 0;  ///< of the newest change
  std::vector<Version<Description>> descriptions;
  std::vector<Version<IndexError>> index_errors;
  std::vector<Version<CircleSet>> settings;
  [[nodiscard]] const Description& description() const { return descriptions.back().what; }
};

/// 1 to 64 bytes of UTF-8 without '/', control characters, or blanks at the ends; not "." or "..".
std::optional<Problem> check_id(std::string_view id);
/// At most kTextMax bytes of UTF-8 without control characters but line ends and tabs. @param needed may not be blank
std::optional<Problem> check_text(std::string_view field, std::string_view text, bool needed);
/// Values in their ranges, ends in order, a curve that can be solved, a covariance that can be one.
std::optional<Problem> check(const Change& change);
/// Adds a change. The first must be a description, and a circle that cannot be turned takes no setting but 0.
std::optional<Problem> add(Record& record, Recorded recorded, const Change& change);

}  // namespace agonic::instrument
