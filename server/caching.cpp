#include "server/caching.hpp"

#include <algorithm>

#include "model/units/number.hpp"
#include "server/digest.hpp"

namespace agonic::server {

std::string entity_tag(const Call& call, std::string_view what) {
  std::string all = call.service.engine.digest();
  all += '\n';
  all += AGONIC_VERSION;
  all += '\n';
  all += call.request.path;
  all += '\n';
  all += what;
  return '"' + sha256_hex(all).substr(0, 32) + '"';
}

bool none_match_names(const Request& request, std::string_view tag) {
  for (const NamedText& header : request.headers) {
    if (header.first != "if-none-match") continue;
    std::string_view rest = header.second;
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find(','), rest.size());
      std::string_view one = trim(rest.substr(0, end));
      if (one.starts_with("W/")) one.remove_prefix(2);  // the comparison is the weak one
      if (one == tag) return true;
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
  }
  return false;
}

Response not_modified(std::string_view tag, std::string cache_control) {
  Response response;
  response.status = 304;
  response.with("ETag", std::string(tag)).with("Cache-Control", std::move(cache_control)).with("Vary", "Accept");
  return response;
}

Response cached_text(const Call& call, std::string_view text, std::string content_type, std::string cache_control) {
  const std::string tag = entity_tag(call, text);
  if (none_match_names(call.request, tag)) return not_modified(tag, std::move(cache_control));
  Response response;
  response.content_type = std::move(content_type);
  response.body = std::string(text);
  response.with("ETag", tag).with("Cache-Control", std::move(cache_control)).with("Vary", "Accept");
  return response;
}

long seconds_to_midnight(std::chrono::system_clock::time_point now) {
  const auto tomorrow = std::chrono::floor<std::chrono::days>(now) + std::chrono::days(1);
  return std::max<long>(1, std::chrono::floor<std::chrono::seconds>(tomorrow - now).count());
}

}  // namespace agonic::server
