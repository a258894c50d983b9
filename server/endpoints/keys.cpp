#include <algorithm>
#include <nlohmann/json.hpp>

#include "model/units/number.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

using Json = nlohmann::ordered_json;
using registry::KeyRow;
using registry::Need;
using registry::Principal;

constexpr std::size_t kNameMax = 64;

Json key_json(const KeyRow& key) {
  return {{"id", key.id},
          {"team", key.team},
          {"name", key.name},
          {"scope", key.scope},
          {"made_at", key.made_at},
          {"made_by", key.made_by},
          {"revoked_at", key.revoked_at.empty() ? Json() : Json(key.revoked_at)}};
}

std::optional<Problem> check_team(std::string_view team) {
  const bool plain = !team.empty() && team.size() <= kNameMax && std::all_of(team.begin(), team.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
           c == '.';
  });
  if (plain) return std::nullopt;
  return Problem{team.empty() ? Code::missing_value : Code::out_of_range, "team", std::string(team),
                 "a team is 1 to 64 letters, digits, '-', '_' and '.'",
                 "Name the team whose instruments the key opens"};
}

}  // namespace

Response keys(Call& call) {
  return registry_call(call, Need::operate, [&](registry::Registry& all, const Principal&) {
    auto query = known_query(call, {});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    Json out{{"keys", Json::array()}};
    for (const KeyRow& key : all.keys()) out["keys"].push_back(key_json(key));
    return registry_json(200, out.dump());
  });
}

Response add_key(Call& call) {
  return registry_call(call, Need::operate, [&](registry::Registry& all, const Principal& principal) {
    auto query = known_query(call, {});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    Parameters members;
    if (auto refusal = add_json_body(call.request, call.body, members)) return std::move(*refusal);
    if (auto problem = members.unknown({"team", "name", "scope"})) return refuse(*problem);
    KeyRow row;
    row.team = members.get("team").value_or("");
    row.name = members.get("name").value_or("");
    row.scope = members.get("scope").value_or("write");
    row.made_by = principal.who;
    if (auto problem = check_team(row.team)) return refuse(*problem);
    if (row.name.empty())
      return refuse(Problem{Code::missing_value,
                            "name",
                            {},
                            "the key has no name",
                            "Name who or what will use it: it stands in the history of every change"});
    if (row.name.size() > kNameMax)
      return refuse(Problem{Code::too_large, "name", {}, "a name has at most 64 bytes", "Shorten it"});
    if (auto problem = instrument::check_text("name", row.name, true)) return refuse(*problem);
    if (row.scope != "read" && row.scope != "write")
      return refuse(Problem{Code::unknown_name, "scope", row.scope, "a key may read or write", "Give read or write"});
    const std::string secret = all.add_key(row);
    Json out = key_json(row);
    out["key"] = secret;
    return registry_json(201, out.dump());
  });
}

Response revoke_key(Call& call) {
  return registry_call(call, Need::operate, [&](registry::Registry& all, const Principal&) {
    auto query = known_query(call, {});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    if (!all.revoke_key(call.name))
      return refuse(Problem{Code::not_found, {}, {}, "there is no live key of this id", "GET /v1/keys lists them."});
    Response response;
    response.status = 204;
    return response;
  });
}

}  // namespace agonic::server
