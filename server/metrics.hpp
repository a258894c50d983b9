// Counters of the service, written out as OpenMetrics text. Labels come from the routing table only: bounded.
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <map>
#include <mutex>
#include <string>
#include <string_view>
#include <utility>

namespace agonic::server {

/// Thread-safe.
class Metrics {
 public:
  void begin() { in_flight_.fetch_add(1); }
  /// @param route a path of the routing table, with static storage
  void end(std::string_view route, int status, double duration_s);
  void rows(std::uint64_t all, std::uint64_t refused);

  /// OpenMetrics 1.0 text, ended by "# EOF".
  [[nodiscard]] std::string text(bool ready) const;

 private:
  static constexpr std::array<double, 8> kBounds{0.001, 0.005, 0.025, 0.1, 0.5, 2.5, 10, 60};  // seconds

  std::atomic<std::int64_t> in_flight_{0};
  std::atomic<std::uint64_t> rows_{0};
  std::atomic<std::uint64_t> refused_{0};
  mutable std::mutex mutex_;
  std::map<std::pair<std::string_view, int>, std::uint64_t> requests_;
  std::array<std::uint64_t, kBounds.size() + 1> durations_{};
  double duration_sum_s_ = 0;
};

}  // namespace agonic::server
