// One JSON line a request. What a client wrote does not reach it: no address, query, header or body, so no coordinate.
#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace spdlog {
class logger;
namespace sinks {
class sink;
}
}  // namespace spdlog

namespace agonic::server {

/// What is logged of a request.
struct RequestEntry {
  std::chrono::system_clock::time_point time;
  std::string_view request_id;  ///< as accepted_request_id() lets through, or made here
  std::string_view method;
  std::string_view route;  ///< the path of the routing table, never the client's
  int status = 0;
  std::uint64_t bytes = 0;  ///< of the response body
  double duration_s = 0;    ///< until the response was ready to be sent
  std::optional<std::uint64_t> rows;
};

/// Thread-safe.
class Log {
 public:
  explicit Log(std::shared_ptr<spdlog::sinks::sink> sink);
  ~Log();
  /// JSON lines on standard error.
  static std::unique_ptr<Log> to_standard_error();

  void request(const RequestEntry& entry);
  /// Something about the service itself. @param text never from a client
  void event(std::string_view level, std::string_view text);

 private:
  std::shared_ptr<spdlog::logger> logger_;
};

/// The client's id if it is 1 to 64 of A-Z a-z 0-9 . _ - and cannot be a coordinate: it holds a letter, and no digit
/// after a point.
bool accepted_request_id(std::string_view id);
std::string new_request_id();

/// "2026-03-01T12:00:00.123Z"
std::string iso_time(std::chrono::system_clock::time_point time);

}  // namespace agonic::server
