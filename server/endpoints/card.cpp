#include <algorithm>
#include <array>
#include <chrono>

#include "model/card/print.hpp"
#include "model/exchange/json_text.hpp"
#include "model/units/date.hpp"
#include "model/units/number.hpp"
#include "server/caching.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"
#include "server/negotiation.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

using card::Format;

constexpr std::chrono::milliseconds kWait{2000};
constexpr std::string_view kTypes =
    "application/json (a place, or stops), text/csv, application/geo+json, application/gpx+xml";

// What comes out: as `f` says, or Accept; HTML where nobody says.
Result<Format> format_of(const Request& request, Parameters& parameters) {
  if (const auto wanted = parameters.values.find("f"); wanted != parameters.values.end()) {
    const auto format = card::format_of_name(wanted->second);
    if (!format) return Problem{Code::unknown_name, "f", wanted->second, "no such format", "Use html, pdf or png."};
    parameters.values.erase(wanted);
    return *format;
  }
  constexpr std::array formats{Format::html, Format::pdf, Format::png};
  std::array<std::string_view, formats.size()> types;
  std::transform(formats.begin(), formats.end(), types.begin(), [](Format f) { return card::media_type(f); });
  const auto chosen = negotiate(request.header("accept").value_or(""), types);
  if (!chosen) return Problem{Code::unknown_name, "Accept", {}, {}, {}};
  return formats[*chosen];
}

Response page_of(std::string bytes, Format format) {
  Response response;
  response.content_type = std::string(card::media_type(format)) + (format == Format::html ? "; charset=utf-8" : "");
  response.body = std::move(bytes);
  response.with("Vary", "Accept");
  if (format == Format::html)
    response.with("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'self'");
  return response;
}

// The date it was computed on stands on the card: it holds until midnight, and for this caller's instruments alone.
std::string what_of(const Parameters& parameters, Format format, std::chrono::system_clock::time_point now) {
  std::string what(card::media_type(format));
  what += '\n' + iso_day(std::chrono::floor<std::chrono::days>(now));
  for (const auto& [name, value] : parameters.values)
    what.append("\n")
        .append(std::to_string(name.size()))
        .append(name)
        .append(std::to_string(value.size()))
        .append(value);
  return what;
}

// Does the body hold stops, and not one place?
bool has_stops(std::string_view json) {
  constexpr std::size_t kDeepest = 32;
  return exchange::sound_json(json, kDeepest) && exchange::find_member(trim(json), "stops").has_value();
}

}  // namespace

Response card(Call& call) {
  const bool posted = call.request.method == "POST";
  Parameters parameters;
  if (auto refusal = add_query(call.request, parameters)) return std::move(*refusal);
  const Result<Format> format = format_of(call.request, parameters);
  if (!format) {
    if (format.problem().field == "Accept")
      return refuse(HttpFault::not_acceptable, "a card goes out as text/html, application/pdf or image/png", "Accept");
    return refuse(format.problem());
  }
  std::string body;
  route::FormatIn route_in = route::FormatIn::json;
  bool for_a_route = false;
  if (posted) {
    const MediaType type = media_type_of(call.request.header("content-type").value_or(""));
    const std::optional<route::FormatIn> in =
        type.name.find('/') == std::string::npos ? std::nullopt : route::format_in_of_name(type.name);
    if (!in || !type.utf8)
      return std::move(
          refuse(Problem{Code::unsupported_format,
                         "Content-Type",
                         {},
                         "what a card is for comes as one of these, in UTF-8: " + std::string(kTypes),
                         "Declare the type of the body."})
              .with("Accept-Post", "application/json, text/csv, application/geo+json, application/gpx+xml"));
    const std::uint64_t limit = std::min(route::kMostBytes, call.service.config.max_upload);
    const BodyEnd end = call.body.read(limit, [&](std::string_view piece) {
      body.append(piece);
      return true;
    });
    if (auto refusal = body_refusal(end, limit)) return std::move(*refusal);
    route_in = *in;
    for_a_route = route_in != route::FormatIn::json || has_stops(body);
    if (!for_a_route)
      if (auto refusal = add_json(body, parameters)) return std::move(*refusal);
  }
  const auto now = call.service.now();
  const bool named = parameters.get("instrument").has_value();
  const bool kept = posted || named;  // nobody else may be served it
  const std::string tag = kept ? std::string() : entity_tag(call, what_of(parameters, *format, now));
  const std::string lifetime = "public, max-age=" + std::to_string(seconds_to_midnight(now));
  if (!kept && none_match_names(call.request, tag)) return not_modified(tag, lifetime);

  const Slots::Hold turn = call.service.documents.take(kWait);
  if (!turn) return refuse_busy("too many cards at once", 2);
  const auto instruments = instruments_for(call);
  Result<std::string> page = [&] {
    if (!for_a_route) return call.service.engine.card(parameters, *instruments, *format);
    route::Request request;
    request.in = route_in;
    request.body = body;
    request.parameters = parameters;
    return call.service.engine.route_card(std::move(request), *instruments, *format);
  }();
  if (!page) return refuse(page.problem());
  Response response = page_of(*std::move(page), *format);
  if (kept) return std::move(response.with("Cache-Control", "no-store"));
  return std::move(response.with("ETag", tag).with("Cache-Control", lifetime));
}

}  // namespace agonic::server
