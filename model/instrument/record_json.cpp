#include "model/instrument/record_json.hpp"

#include "model/instrument/json_members.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

template <class What>
Json version_json(const Version<What>& version) {
  Json out;
  out["version"] = version.recorded.version;
  put_change(version.what, out);
  put_recorded(version.recorded, out);
  return out;
}

template <class What>
Json versions_json(const std::vector<Version<What>>& versions) {
  Json out = Json::array();
  for (const auto& version : versions) out.push_back(version_json(version));
  return out;
}

Json angle_json(const std::optional<AngleInForce>& angle) {
  if (!angle) return {};
  return {{"error_deg", angle->error_deg}, {"sigma_deg", angle->sigma_deg}, {"version", angle->version}};
}

Json held_json(const RecordView& view) {
  Json out;
  out["date"] = view.date;
  if (view.held == nullptr) {
    out["lacking"] = view.not_held;
    return out;
  }
  const InForce& held = *view.held;
  if (held.azimuth) {
    const IndexCurve& c = held.azimuth->curve;
    out["azimuth"] = {{"error_deg", {c.a, c.b, c.c, c.d, c.e}},
                      {"covariance_deg2", held.azimuth->covariance.upper},
                      {"version", held.azimuth->version}};
  } else {
    out["azimuth"] = Json();
    out["lacking"] = held.azimuth_lacking;
  }
  out["vertical"] = angle_json(held.vertical);
  out["dip"] = angle_json(held.dip);
  out["setting"] = Json();
  if (held.setting) {
    const auto& set = held.setting->declination_deg;
    out["setting"] = {{"set_declination", set ? Json(*set) : Json()},
                      {"set_declination_text", set ? declination_text(*set) : "unknown"},
                      {"version", held.setting->version}};
  }
  out["notes"] = held.notes;
  out["named"] = held.named;
  return out;
}

}  // namespace

Result<Proposal> read_proposal(ChangeKind kind, std::string_view text, bool with_id, std::chrono::sys_days today) {
  const Result<Json> json = parse_strictly(text);
  if (!json) return json.problem();
  if (!json->is_object())
    return Problem{Code::file_malformed, "", "", "the body must be one JSON object", "See /openapi.json."};
  Members members(*json);
  Proposal proposal;
  if (with_id) proposal.id = members.text("id");
  proposal.change = read_change(kind, members, today);
  proposal.why = members.text("why");
  if (auto problem = members.problem()) return *std::move(problem);
  if (with_id)
    if (auto problem = check_id(proposal.id)) return *std::move(problem);
  if (auto problem = check(proposal.change)) return *std::move(problem);
  if (auto problem = check_text("why", proposal.why, true)) return *std::move(problem);
  return proposal;
}

std::string statement_json(const Change& change) {
  Json out;
  put_change(change, out);
  return dump_text(out);
}

Result<Change> read_statement(ChangeKind kind, std::string_view text) {
  const Result<Json> json = parse_strictly(text);
  if (!json) return json.problem();
  if (!json->is_object()) return Problem{Code::file_malformed, "", "", "a statement is one JSON object", ""};
  Members members(*json);
  Change change = read_change(kind, members, {});
  if (auto problem = members.problem()) return *std::move(problem);
  if (auto problem = check(change)) return *std::move(problem);
  return change;
}

std::string record_json(const Record& record, const RecordView& view) {
  Json out;
  out["id"] = record.id;
  out["team"] = record.team;
  out["version"] = record.version;
  out["description"] = version_json(record.descriptions.back());
  out["index_errors"] = versions_json(record.index_errors);
  out["settings"] = versions_json(record.settings);
  if (view.history) out["descriptions"] = versions_json(record.descriptions);
  if (!view.date.empty()) out["in_force"] = held_json(view);
  return dump_text(out);
}

}  // namespace agonic::instrument
