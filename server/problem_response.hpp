// Refusals as responses, and their RFC 9457 text.
#pragma once

#include <string>
#include <string_view>

#include "server/http/message.hpp"

namespace agonic::server {

/// A problem of the model, with the status of its row in the error table.
Response refuse(const Problem& problem);
/// A problem that only HTTP knows. @param field the header or parameter; may be empty
Response refuse(HttpFault fault, std::string detail, std::string field = {});
/// 503 with Retry-After.
Response refuse_busy(std::string detail, int retry_after_s);

/// The problem+json document. Input is escaped; bytes that are no UTF-8 are replaced.
std::string problem_json(const Refusal& refusal, std::string_view request_id);

}  // namespace agonic::server
