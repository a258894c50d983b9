#include <nlohmann/json.hpp>

#include "model/instrument/service_report.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {

Response registry_report(Call& call) {
  return registry_call(call, registry::Need::read, [&](registry::Registry& all, const registry::Principal& principal) {
    auto query = known_query(call, {"date"});
    if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
    const auto today = std::chrono::floor<std::chrono::days>(call.service.now());
    const auto date = parse_date(std::get<Parameters>(query).get("date").value_or("today"), {today});
    if (!date) return refuse(date.problem());
    nlohmann::ordered_json rows = nlohmann::ordered_json::array();
    std::size_t need_service = 0;
    for (const auto& record : all.list(principal.team)) {
      nlohmann::ordered_json findings = nlohmann::ordered_json::array();
      for (const auto& finding : instrument::service_findings(*record, date->day))
        findings.push_back({{"code", finding.code}, {"text", finding.text}});
      if (!findings.empty()) ++need_service;
      rows.push_back({{"id", record->id}, {"needs_service", !findings.empty()}, {"findings", std::move(findings)}});
    }
    const std::size_t count = rows.size();
    const nlohmann::ordered_json out{{"date", iso_day(date->day)},
                                     {"team", principal.team},
                                     {"instruments", std::move(rows)},
                                     {"need_service", need_service},
                                     {"of", count},
                                     {"limits",
                                      {{"index_error_deg", instrument::service_limit::index_deg},
                                       {"magnetised_deg", instrument::service_limit::magnetised_deg},
                                       {"stale_years", instrument::service_limit::stale_years}}}};
    return registry_json(200, out.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace));
  });
}

}  // namespace agonic::server
