// What /v1/traverse, /v1/rotation and /v1/swing have in common: formats, limits, slots.
#pragma once

#include "model/desk/desk.hpp"
#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

/// Reads the whole body, hands it to the engine, answers in the type that came in unless `f` or Accept asks otherwise.
Response answer_document(Call& call, desk::Job job);

}  // namespace agonic::server
