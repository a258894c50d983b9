// What /v1/declination and /v1/setting have in common: parameters, caching, slots.
#pragma once

#include "server/engine.hpp"
#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

/// Answers a GET from its query, a POST from its JSON body as well.
Response answer_lookup(Call& call, Result<Answer> (Engine::*ask)(const Parameters&));

}  // namespace agonic::server
