// Records and changes as JSON: the edge at which they come in and go out. No JSON type shows below it.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "model/instrument/in_force.hpp"
#include "model/instrument/record.hpp"

namespace agonic::instrument {

/// A change as somebody asks for it.
struct Proposal {
  std::string id;  ///< only where one is being created
  std::string why;
  Change change;
};

/// Reads one JSON object with the members of the kind and `why`; unknown or repeated members, wrong types and values
/// out of range are refused, each by name.
///   description: circle (azimuth, quadrant), turnable, graduation_deg, east_turn, clinometer_graduation_deg,
///     hinge_graduation_deg, note; what is left out takes its default
///   index_error: kind (azimuth, vertical, dip), error_deg (a number; for azimuth also the five A to E; null or
///     "unknown": not known), sigma_deg or covariance_deg2 (15 numbers), from, until, how, sightings
///   setting: set_declination (a number, east positive, or text as 13.7W; null or "unknown"), from, until
/// @param with_id the object also carries `id`
/// @param today what `today` means as from or until
Result<Proposal> read_proposal(ChangeKind kind, std::string_view json, bool with_id, std::chrono::sys_days today);

/// A change alone, as it is stored, and back.
std::string statement_json(const Change& change);
Result<Change> read_statement(ChangeKind kind, std::string_view json);

/// What a record is shown with.
struct RecordView {
  bool history = false;           ///< earlier descriptions as well
  const InForce* held = nullptr;  ///< what held on `date`
  std::string date;               ///< ISO day of `held`
  std::string not_held;           ///< why nothing did
};
std::string record_json(const Record& record, const RecordView& view = {});

}  // namespace agonic::instrument
