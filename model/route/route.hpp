// A route: stops or a track with dates to the declination along the way, where the circle is to be set anew, the one
// setting that serves all, and where the needle is weak. One document in, one out: the answer behind /v1/route.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "model/field/catalogue.hpp"
#include "model/units/parameters.hpp"
#include "model/units/problem.hpp"

namespace agonic::route {

enum class FormatIn { csv, json, geojson, gpx };
enum class FormatOut { csv, json, text, svg };

std::string_view media_type(FormatIn format) noexcept;   ///< text/csv, application/json, …/geo+json, …/gpx+xml
std::string_view media_type(FormatOut format) noexcept;  ///< text/csv, application/json, text/plain, image/svg+xml
/// csv, json, geojson, gpx and the media types (of GPX also application/xml and text/xml).
std::optional<FormatIn> format_in_of_name(std::string_view name) noexcept;
/// csv, json, text, svg and the media types.
std::optional<FormatOut> format_out_of_name(std::string_view name) noexcept;

struct Request {
  FormatIn in = FormatIn::csv;
  FormatOut out = FormatOut::json;
  std::string_view body;
  /// Of the query or command line; the members of a JSON body beside `stops` are added. date, height_m: where a stop
  /// says nothing; legs; tolerance (degrees); gpx_part (waypoints, route, track); graduation, circle, east_turn; model,
  /// letters, date_order, decimal, delimiter, force_unusable.
  Parameters parameters;
  std::chrono::sys_days today{};
};

struct Answer {
  std::string body;
  std::string summary_json;  ///< one line, ASCII: it also travels in an HTTP header
  std::string summary_line;  ///< for people
  std::uint64_t stops = 0, refused = 0;
};

/// A document is no longer than this.
inline constexpr std::uint64_t kMostBytes = std::uint64_t{8} << 20;

/// Does the work. A stop that cannot be read is refused by itself; a document without one good stop is a Problem.
Result<Answer> work(const field::Catalogue& catalogue, const Request& request);

}  // namespace agonic::route
