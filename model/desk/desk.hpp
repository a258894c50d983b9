// Work on a whole document at once: a traverse, pairs of old and found lines, readings beside an observatory. One
// document in, one out; small enough to be held in memory, unlike the batches of model/exchange.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/field/catalogue.hpp"
#include "model/geodesy/grid.hpp"
#include "model/units/parameters.hpp"
#include "model/units/problem.hpp"

namespace agonic::desk {

enum class Job { traverse, rotation, swing };

/// csv and json both ways; text goes out as tables for people, and comes in as an observatory's file.
enum class Format { csv, json, text };
std::string_view media_type(Format format) noexcept;  ///< text/csv, application/json, text/plain
/// csv, json, text and the media types.
std::optional<Format> format_of_name(std::string_view name) noexcept;

struct Request {
  Format in = Format::csv;
  Format out = Format::json;
  std::string_view body;
  Parameters parameters;  ///< of the query or command line; a JSON body may carry the rest
  std::chrono::sys_days today{};
};

struct Answer {
  std::string body;
  std::string summary_json;  ///< one line, ASCII: it also travels in an HTTP header
  std::string summary_line;  ///< for people
  std::uint64_t rows = 0, refused = 0;
};

/// Documents are no longer than this.
inline constexpr std::uint64_t kMostBytes = std::uint64_t{8} << 20;

/// Does the work. The grids are the caller's, one object a thread.
Result<Answer> work(Job job, const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request);

}  // namespace agonic::desk
