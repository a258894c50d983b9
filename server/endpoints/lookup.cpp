#include "server/endpoints/lookup.hpp"

#include <algorithm>
#include <chrono>

#include "model/units/date.hpp"
#include "model/units/number.hpp"
#include "server/caching.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

constexpr std::chrono::milliseconds kWait{1000};  // a lookup takes well under a millisecond

// Parameters are kept sorted, so two orders of one query have one tag. Lengths keep `a=b&c` apart from `a=b&c=`.
std::string normalised(const Parameters& parameters) {
  std::string out;
  for (const auto& [name, value] : parameters.values)
    if (!value.empty())
      out.append(std::to_string(name.size()))
          .append(":")
          .append(name)
          .append(std::to_string(value.size()))
          .append(":")
          .append(value);
  return out;
}

bool asks_for_today(const Parameters& parameters) {
  return std::any_of(parameters.values.begin(), parameters.values.end(),
                     [](const auto& pair) { return lower(pair.second).find("today") != std::string::npos; });
}

}  // namespace

std::optional<Response> read_parameters(Call& call, Parameters& parameters) {
  if (auto refusal = add_query(call.request, parameters)) return refusal;
  if (call.request.method == "POST") return add_json_body(call.request, call.body, parameters);
  return std::nullopt;
}

Response answer_lookup(Call& call, Result<Answer> (Engine::*ask)(const Parameters&)) {
  Parameters parameters;
  if (auto refusal = read_parameters(call, parameters)) return std::move(*refusal);
  return answer_asked(call, {parameters, "application/json", call.service.lookups, kWait,
                             [&] { return (call.service.engine.*ask)(parameters); }});
}

Response answer_asked(Call& call, const Asked& asked) {
  const bool posted = call.request.method == "POST";
  const auto now = call.service.now();
  const bool today = asks_for_today(asked.parameters);
  const std::string until_midnight = "public, max-age=" + std::to_string(seconds_to_midnight(now));
  std::string cache_control = today ? until_midnight : "public, max-age=86400";
  std::string what = normalised(asked.parameters);
  what += '\n' + asked.content_type;
  if (today) what += '\n' + iso_day(std::chrono::floor<std::chrono::days>(now));
  const std::string tag = posted ? std::string() : entity_tag(call, what);
  if (!posted && none_match_names(call.request, tag)) return not_modified(tag, std::move(cache_control));

  Result<Answer> answer = [&]() -> Result<Answer> {
    const Slots::Hold hold = asked.slots.take(asked.wait);
    if (!hold) return Problem{Code::overloaded, {}, {}, "too many lookups at once", {}};
    return asked.answer();
  }();
  if (!answer) {
    if (answer.problem().code == Code::overloaded) return refuse_busy(answer.problem().message, 1);
    return refuse(answer.problem());
  }
  Response response;
  response.content_type = asked.content_type;
  response.body = std::move(answer.value().body);
  if (posted) return std::move(response.with("Cache-Control", "no-store"));
  if (answer->until_midnight && !today) return std::move(response.with("Cache-Control", until_midnight));
  return std::move(response.with("ETag", tag).with("Cache-Control", cache_control).with("Vary", "Accept"));
}

}  // namespace agonic::server
