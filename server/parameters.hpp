// The parameters of a call from its query and from a small JSON body.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "model/units/parameters.hpp"
#include "server/http/message.hpp"

namespace agonic::server {

inline constexpr std::size_t kSmallBodyMax = 64 * 1024;

/// Adds the query. A repeated name is refused.
std::optional<Response> add_query(const Request& request, Parameters& parameters);

/// Adds the members of one flat JSON object. Strings stand as they are; numbers serve for lat, lon, height_m,
/// graduation and the numbers of the sun and of charts only (a date as a number would be read in two ways), true and
/// false for force_unusable; null is absent. Nested values, repeated names and anything else are refused.
std::optional<Response> add_json(std::string_view text, Parameters& parameters);

/// The body as text: application/json in UTF-8 of at most `limit` bytes; else the refusal.
std::variant<std::string, Response> read_json_body(const Request& request, BodyReader& body, std::size_t limit);

/// Reads a body of at most kSmallBodyMax bytes, which must be application/json, and adds it.
std::optional<Response> add_json_body(const Request& request, BodyReader& body, Parameters& parameters);

/// The refusal for a body that could not be read whole; nothing for one that could.
std::optional<Response> body_refusal(BodyEnd end, std::uint64_t limit);

/// "text/csv" of "Text/CSV; charset=utf-8", and false where a charset other than UTF-8 is declared.
struct MediaType {
  std::string name;
  bool utf8 = true;
};
MediaType media_type_of(std::string_view header);

}  // namespace agonic::server
