#include "model/instrument/dump.hpp"

#include <map>
#include <set>

#include "model/instrument/json_members.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

constexpr int kLayout = 1;

// Every change by its version, in order.
std::map<int, Json> changes_of(const Record& record) {
  std::map<int, Json> changes;
  const auto put = [&](const auto& versions, ChangeKind kind) {
    for (const auto& version : versions) {
      Json& out = changes[version.recorded.version];
      out["version"] = version.recorded.version;
      out["change"] = word(kind);
      put_change(version.what, out);
      put_recorded(version.recorded, out);
    }
  };
  put(record.descriptions, ChangeKind::description);
  put(record.index_errors, ChangeKind::index_error);
  put(record.settings, ChangeKind::setting);
  return changes;
}

std::optional<Problem> add_change(const Json& json, int expected, Record& record) {
  if (!json.is_object()) return Problem{Code::file_malformed, "", "", "a change is one JSON object", ""};
  Members members(json);
  const std::string kind = members.text("change");
  const auto known = change_kind_of(kind);
  if (!known)
    return Problem{Code::unknown_name, "change", kind, "there is no such change",
                   "Known are: description, index_error, setting"};
  if (members.count("version") != expected)
    return Problem{Code::contradiction, "version", "", "version " + std::to_string(expected) + " is missing",
                   "Versions stand in order, from 1, without gaps"};
  const Change change = read_change(*known, members, {});
  Recorded recorded{expected, members.text("who"), members.text("when"), members.text("why")};
  if (auto problem = members.problem()) return problem;
  if (auto problem = check_text("who", recorded.who, true)) return problem;
  if (auto problem = check_text("when", recorded.when, true)) return problem;
  if (auto problem = check_text("why", recorded.why, true)) return problem;
  return add(record, std::move(recorded), change);
}

Result<Record> read_record(const Json& json) {
  Record record;
  if (!json.is_object()) return Problem{Code::file_malformed, "", "", "a record is one JSON object", ""};
  Members members(json);
  record.id = members.text("id");
  const Json* changes = members.get("changes");
  if (auto problem = members.problem()) return *std::move(problem);
  if (auto problem = check_id(record.id)) return *std::move(problem);
  if (changes == nullptr || !changes->is_array() || changes->empty())
    return Problem{Code::missing_value, "changes", "", "the record has no changes", ""};
  int version = 0;
  for (const Json& change : *changes)
    if (auto problem = add_change(change, ++version, record)) {
      problem->message = "change " + std::to_string(version) + ": " + problem->message;
      return *std::move(problem);
    }
  return record;
}

}  // namespace

std::string dump_json(std::span<const std::shared_ptr<const Record>> records, std::string_view exported) {
  Json out;
  out["agonic_instruments"] = kLayout;
  out["exported"] = exported;
  out["instruments"] = Json::array();
  for (const auto& record : records) {
    Json changes = Json::array();
    for (auto& [version, change] : changes_of(*record)) changes.push_back(std::move(change));
    out["instruments"].push_back({{"id", record->id}, {"changes", std::move(changes)}});
  }
  return dump_text(out);
}

Result<Dump> read_dump(std::string_view text) {
  const Result<Json> json = parse_strictly(text);
  if (!json) return json.problem();
  const auto malformed = [](std::string message) {
    return Problem{Code::file_malformed, "", "", std::move(message), "Make one with 'agonic instrument dump'"};
  };
  if (!json->is_object() || !json->contains("agonic_instruments") || !json->contains("instruments") ||
      !json->at("instruments").is_array())
    return malformed("this is no dump of instruments");
  if (json->at("agonic_instruments") != kLayout) return malformed("the layout of this dump is not known here");
  Dump dump;
  std::set<std::string> ids;
  for (const Json& one : json->at("instruments")) {
    Result<Record> record = read_record(one);
    const bool named = one.is_object() && one.contains("id") && one.at("id").is_string();
    const std::string id = named ? one.at("id").get<std::string>() : std::string();
    if (record && !ids.insert(id).second)
      record = Problem{Code::contradiction, "id", id, "this instrument stands twice in the dump", "Keep one of them"};
    if (record) {
      dump.records.push_back(std::move(record).value());
      continue;
    }
    Problem problem = record.problem();
    if (!problem.field.empty()) problem.message = problem.field + ": " + problem.message;
    problem.field = "instrument " + printable(id);
    dump.refused.push_back(std::move(problem));
  }
  return dump;
}

Result<std::shared_ptr<const Registry>> registry_of_dump(std::string_view json) {
  Result<Dump> dump = read_dump(json);
  if (!dump) return dump.problem();
  if (!dump->refused.empty()) return dump->refused.front();
  return std::shared_ptr<const Registry>(std::make_shared<MemoryRegistry>(std::move(dump.value().records)));
}

}  // namespace agonic::instrument
