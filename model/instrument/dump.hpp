// A team's records as one JSON document: to keep, to carry to another service, or for a batch without a service.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "model/instrument/record.hpp"
#include "model/instrument/registry.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

/// The document: {"agonic_instruments": 1, "exported": …, "instruments": [{"id", "changes": [{"version", "change",
/// …its members…, "who", "when", "why"}]}]}.
/// @param exported UTC, as it is to stand there
std::string dump_json(std::span<const std::shared_ptr<const Record>> records, std::string_view exported);

/// What was read: records that are sound, and why others are not. A bad record does not spoil the good ones.
struct Dump {
  std::vector<Record> records;
  std::vector<Problem> refused;  ///< `field` names the instrument
};
/// Code::file_malformed where it is no such document.
Result<Dump> read_dump(std::string_view json);

/// A registry of the records of a dump; refuses one with a bad record, naming the first.
Result<std::shared_ptr<const Registry>> registry_of_dump(std::string_view json);

}  // namespace agonic::instrument
