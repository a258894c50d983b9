// Entity tags and lifetimes: a GET answer is a function of its query, the program and the models loaded.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

/// A strong tag, quotes included. @param what everything the answer depends on besides the program and the models
std::string entity_tag(const Call& call, std::string_view what);

/// RFC 9110 13.1.2: does If-None-Match name this tag? `*` does not: it needs the answer first.
bool none_match_names(const Request& request, std::string_view tag);

/// 304 with the headers that the full answer would carry.
Response not_modified(std::string_view tag, std::string cache_control);

/// A fixed text with its tag, or 304.
Response cached_text(const Call& call, std::string_view text, std::string content_type, std::string cache_control);

/// Seconds until 00:00 UTC, at least 1.
long seconds_to_midnight(std::chrono::system_clock::time_point now);

}  // namespace agonic::server
