// What /v1/declination, /v1/setting, /v1/sun and /v1/chart have in common: parameters, caching, slots.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <string>

#include "server/engine.hpp"
#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

/// Answers a GET from its query, a POST from its JSON body as well.
Response answer_lookup(Call& call, Result<Answer> (Engine::*ask)(const Parameters&));

/// The parameters of a GET, and of a POST the members of its JSON body besides; else the refusal.
std::optional<Response> read_parameters(Call& call, Parameters& parameters);

/// An answer of any type, which is a function of the parameters.
struct Asked {
  const Parameters& parameters;
  std::string content_type;
  Slots& slots;  ///< the work's share of the machine
  std::chrono::milliseconds wait;
  std::function<Result<Answer>()> answer;
};
/// If-None-Match first, then a slot, then the answer with its tag and lifetime; a POST is not stored.
Response answer_asked(Call& call, const Asked& asked);

}  // namespace agonic::server
