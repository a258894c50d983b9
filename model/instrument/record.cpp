#include "model/instrument/record.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

constexpr double kGraduationMax = 10;  // degrees, as for a setting
constexpr double kSigmaMax = 52;       // degrees: the spread of azimuths of which nothing is known

using MaybeProblem = std::optional<Problem>;

MaybeProblem check_graduation(std::string_view field, const std::optional<double>& graduation) {
  if (!graduation || (*graduation > 0 && *graduation <= kGraduationMax)) return std::nullopt;
  return Problem{Code::out_of_range, std::string(field), format_trimmed(*graduation, 6),
                 "a graduation lies above 0 and is at most 10 degrees",
                 "Give the smallest division of the scale in degrees"};
}

MaybeProblem check_span(const Span& span) {
  if (!span.until || *span.until >= span.from) return std::nullopt;
  return Problem{Code::contradiction, "until", iso_day(*span.until), "it ends before it begins, " + iso_day(span.from),
                 "The days from and until both belong to it"};
}

// A covariance has no negative variance in any direction: its Cholesky factor exists, up to rounding.
bool can_be_covariance(const IndexCovariance& covariance) {
  constexpr std::size_t n = 5;
  std::array<std::array<double, n>, n> l{};
  double largest = 0;
  for (std::size_t i = 0; i < n; ++i) largest = std::max(largest, covariance.upper[IndexCovariance::at(i, i)]);
  const double slack = 1e-9 * largest;
  for (std::size_t j = 0; j < n; ++j) {
    double pivot = covariance.upper[IndexCovariance::at(j, j)];
    for (std::size_t k = 0; k < j; ++k) pivot -= l[j][k] * l[j][k];
    if (!(pivot >= -slack)) return false;
    const bool gone = pivot <= slack;
    l[j][j] = gone ? 0 : std::sqrt(pivot);
    for (std::size_t i = j + 1; i < n; ++i) {
      double rest = covariance.upper[IndexCovariance::at(i, j)];
      for (std::size_t k = 0; k < j; ++k) rest -= l[i][k] * l[j][k];
      if (gone && std::abs(rest) > std::sqrt(slack * largest) + slack) return false;
      l[i][j] = gone ? 0 : rest / l[j][j];
    }
  }
  return true;
}

MaybeProblem check_of(const Description& description) {
  if (auto problem = check_graduation("graduation_deg", description.circle.graduation_deg)) return problem;
  if (auto problem = check_graduation("clinometer_graduation_deg", description.clinometer_graduation_deg))
    return problem;
  if (auto problem = check_graduation("hinge_graduation_deg", description.hinge_graduation_deg)) return problem;
  return check_text("note", description.note, false);
}

MaybeProblem check_of(const IndexError& error) {
  if (auto problem = check_span(error.span)) return problem;
  if (auto problem = check_text("how", error.how, false)) return problem;
  if (error.sightings && *error.sightings < 1)
    return Problem{Code::out_of_range, "sightings", std::to_string(*error.sightings), "at least one sighting is needed",
                   "Leave it out where the number is not known"};
  if (!error.known) return std::nullopt;
  const IndexCurve& c = error.curve;
  const double limit = error.kind == IndexKind::azimuth ? 180 : 90;
  if (!(c.largest() <= limit))
    return Problem{Code::out_of_range, "error_deg", format_trimmed(c.a, 6),
                   "an index error lies within " + format_trimmed(limit) + " degrees", "Reading minus truth is meant"};
  if (!solve(c, Azimuth<Circle>(0), CircleSetting{0}))
    return Problem{Code::index_curve, "error_deg", "", "the curve is so steep that two azimuths give the same reading",
                   "An instrument like that is magnetised, not calibrated: have it serviced"};
  for (std::size_t i = 0; i < 5; ++i) {
    const double variance = error.covariance.upper[IndexCovariance::at(i, i)];
    if (!(variance >= 0 && variance <= kSigmaMax * kSigmaMax))
      return Problem{Code::out_of_range, "sigma_deg", "", "a 1-sigma lies between 0 and 52 degrees",
                     "A covariance has the squares of the sigmas on its diagonal"};
  }
  if (!can_be_covariance(error.covariance))
    return Problem{Code::contradiction, "covariance_deg2", "", "these numbers cannot be a covariance",
                   "Give the upper triangle by rows: AA AB AC AD AE BB BC BD BE CC CD CE DD DE EE"};
  return std::nullopt;
}

MaybeProblem check_of(const CircleSet& set) {
  if (set.declination_deg && !(std::abs(*set.declination_deg) <= 180))
    return Problem{Code::out_of_range, "set_declination", format_trimmed(*set.declination_deg, 6),
                   "a setting lies within 180 degrees", "East is positive"};
  return check_span(set.span);
}

// The bytes of one UTF-8 character, or 0 where there is none (RFC 3629).
std::size_t utf8_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char first = byte(0);
  const std::size_t length = first < 0x80                     ? 1
                             : first >= 0xC2 && first <= 0xDF ? 2
                             : first >= 0xE0 && first <= 0xEF ? 3
                             : first >= 0xF0 && first <= 0xF4 ? 4
                                                              : 0;
  if (length == 0 || length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(i) & 0xC0) != 0x80) return 0;
  if (first == 0xE0 && byte(1) < 0xA0) return 0;
  if (first == 0xED && byte(1) > 0x9F) return 0;
  if (first == 0xF0 && byte(1) < 0x90) return 0;
  if (first == 0xF4 && byte(1) > 0x8F) return 0;
  return length;
}

bool is_clean(std::string_view text, std::string_view allowed) {
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    if (length == 0) return false;
    const auto byte = static_cast<unsigned char>(text[0]);
    if ((byte < 0x20 || byte == 0x7F) && allowed.find(text[0]) == std::string_view::npos) return false;
    text.remove_prefix(length);
  }
  return true;
}

}  // namespace

double IndexError::constant_sigma_deg() const { return std::sqrt(covariance.upper[0]); }

std::string_view word(IndexKind kind) noexcept {
  return kind == IndexKind::azimuth ? "azimuth" : kind == IndexKind::vertical ? "vertical" : "dip";
}

std::string_view word(ChangeKind kind) noexcept {
  return kind == ChangeKind::description ? "description" : kind == ChangeKind::index_error ? "index_error" : "setting";
}

std::optional<ChangeKind> change_kind_of(std::string_view text) noexcept {
  for (const ChangeKind kind : {ChangeKind::description, ChangeKind::index_error, ChangeKind::setting})
    if (text == word(kind)) return kind;
  return std::nullopt;
}

ChangeKind kind_of(const Change& change) noexcept { return static_cast<ChangeKind>(change.index()); }

MaybeProblem check_id(std::string_view id) {
  const auto problem = [&](std::string message) {
    return Problem{Code::out_of_range, "id", std::string(id), std::move(message),
                   "Use what is written on the instrument, as BR-07"};
  };
  if (trim(id).empty())
    return Problem{Code::missing_value, "id", "", "the instrument has no id",
                   "Use what is written on the instrument, as BR-07"};
  if (id.size() > kIdMax) return problem("an id has at most 64 bytes");
  if (trim(id) != id) return problem("an id has no blanks at its ends");
  if (!is_clean(id, "") || id.find('/') != std::string_view::npos || id == "." || id == "..")
    return problem("an id is text without '/' and control characters");
  return std::nullopt;
}

MaybeProblem check_text(std::string_view field, std::string_view text, bool needed) {
  if (needed && trim(text).empty())
    return Problem{Code::missing_value, std::string(field), "", "it is missing",
                   field == "why" ? "Say why in a few words: they are kept with the change" : "Give it as text"};
  if (text.size() > kTextMax)
    return Problem{Code::too_large, std::string(field), "", "a text has at most 2000 bytes", "Shorten it"};
  if (!is_clean(text, "\t\n\r"))
    return Problem{Code::out_of_range, std::string(field), std::string(text), "control characters cannot be kept",
                   "Give plain text in UTF-8"};
  return std::nullopt;
}

MaybeProblem check(const Change& change) {
  return std::visit([](const auto& what) { return check_of(what); }, change);
}

MaybeProblem add(Record& record, Recorded recorded, const Change& change) {
  if (auto problem = check(change)) return problem;
  if (record.descriptions.empty() && kind_of(change) != ChangeKind::description)
    return Problem{Code::missing_value, "description", "", "a record begins with a description", ""};
  if (const auto* set = std::get_if<CircleSet>(&change);
      set != nullptr && !record.description().circle.turnable && set->declination_deg.value_or(0) != 0)
    return Problem{Code::contradiction, "set_declination", format_trimmed(*set->declination_deg, 6),
                   "the circle of this instrument cannot be turned", "Mend its description first if it can, or give 0"};
  record.version = recorded.version;
  if (const auto* description = std::get_if<Description>(&change))
    record.descriptions.push_back({std::move(recorded), *description});
  else if (const auto* error = std::get_if<IndexError>(&change))
    record.index_errors.push_back({std::move(recorded), *error});
  else
    record.settings.push_back({std::move(recorded), std::get<CircleSet>(change)});
  return std::nullopt;
}

}  // namespace agonic::instrument
