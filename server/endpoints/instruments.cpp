#include <charconv>
#include <nlohmann/json.hpp>

#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

constexpr std::size_t kPage = 1000;

std::string percent_encoded(std::string_view text) {
  constexpr std::string_view kHex = "0123456789ABCDEF";
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' || c == '.')
      out += c;
    else
      out += {'%', kHex[byte >> 4], kHex[byte & 15]};
  }
  return out;
}

}  // namespace

Response instruments(Call& call) {
  return registry_call(call, registry::Need::read, [&](registry::Registry& all, const registry::Principal& principal) {
    auto query = known_query(call, {"after", "limit"});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    const auto& parameters = std::get<Parameters>(query);
    std::size_t limit = kPage;
    if (const auto given = parameters.get("limit")) {
      const auto [end, error] = std::from_chars(given->data(), given->data() + given->size(), limit);
      if (error != std::errc() || end != given->data() + given->size() || limit < 1 || limit > kPage)
        return refuse(
            Problem{Code::out_of_range, "limit", std::string(*given), "a page holds 1 to 1000 instruments", {}});
    }
    const auto after = parameters.get("after");
    nlohmann::ordered_json out{{"team", principal.team}, {"instruments", nlohmann::ordered_json::array()}};
    std::string last;
    for (const auto& record : all.list(principal.team)) {
      if (after && record->id <= *after) continue;
      if (out["instruments"].size() == limit) {
        out["next"] = "/v1/instruments?limit=" + std::to_string(limit) + "&after=" + percent_encoded(last);
        break;
      }
      const auto& description = record->description();
      out["instruments"].push_back(
          {{"id", record->id},
           {"version", record->version},
           {"circle", description.circle.figures == instrument::Figures::quadrant ? "quadrant" : "azimuth"},
           {"turnable", description.circle.turnable},
           {"graduation_deg", description.circle.graduation_deg},
           {"index_errors", record->index_errors.size()},
           {"settings", record->settings.size()},
           {"note", description.note}});
      last = record->id;
    }
    return registry_json(200, out.dump());
  });
}

Response create_instrument(Call& call) {
  return registry_call(call, registry::Need::write, [&](registry::Registry& all, const registry::Principal& principal) {
    auto found = asked(call, instrument::ChangeKind::description, true);
    if (auto* refusal = std::get_if<Response>(&found)) return std::move(*refusal);
    const auto& [proposal, repeatable] = std::get<Asked>(found);
    auto outcome = all.create({principal.team, principal.who}, proposal, repeatable);
    const std::string location = "/v1/instruments/" + percent_encoded(outcome.location);
    Response response = answer_of(std::move(outcome));
    if (response.status == 201) response.with("Location", location);
    return response;
  });
}

}  // namespace agonic::server
