#include "server/metrics.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace agonic::server {

void Metrics::end(std::string_view route, int status, double duration_s) {
  in_flight_.fetch_sub(1);
  const auto bound = std::lower_bound(kBounds.begin(), kBounds.end(), duration_s);
  const std::lock_guard lock(mutex_);
  ++requests_[{route, status}];
  ++durations_[static_cast<std::size_t>(bound - kBounds.begin())];
  duration_sum_s_ += duration_s;
}

void Metrics::rows(std::uint64_t all, std::uint64_t refused) {
  rows_.fetch_add(all);
  refused_.fetch_add(refused);
}

std::string Metrics::text(bool ready) const {
  std::string out;
  const auto head = [&](std::string_view name, std::string_view type, std::string_view help) {
    out += fmt::format("# TYPE {0} {1}\n# HELP {0} {2}\n", name, type, help);
  };
  const std::lock_guard lock(mutex_);
  head("agonic_requests", "counter", "Requests answered, by route and status.");
  for (const auto& [key, count] : requests_)
    out += fmt::format("agonic_requests_total{{route=\"{}\",status=\"{}\"}} {}\n", key.first, key.second, count);
  head("agonic_request_duration_seconds", "histogram", "Time until a response was ready to be sent.");
  std::uint64_t below = 0;
  for (std::size_t i = 0; i < kBounds.size(); ++i) {
    below += durations_[i];
    out += fmt::format("agonic_request_duration_seconds_bucket{{le=\"{}\"}} {}\n", kBounds[i], below);
  }
  below += durations_.back();
  out += fmt::format("agonic_request_duration_seconds_bucket{{le=\"+Inf\"}} {}\n", below);
  out += fmt::format("agonic_request_duration_seconds_count {}\n", below);
  out += fmt::format("agonic_request_duration_seconds_sum {}\n", duration_sum_s_);
  head("agonic_requests_in_flight", "gauge", "Requests being answered.");
  out += fmt::format("agonic_requests_in_flight {}\n", in_flight_.load());
  head("agonic_rows", "counter", "Rows of batches.");
  out += fmt::format("agonic_rows_total {}\n", rows_.load());
  head("agonic_rows_refused", "counter", "Rows of batches that were refused.");
  out += fmt::format("agonic_rows_refused_total {}\n", refused_.load());
  head("agonic_ready", "gauge", "1 when the published check values were reproduced at the start.");
  out += fmt::format("agonic_ready {}\n# EOF\n", ready ? 1 : 0);
  return out;
}

}  // namespace agonic::server
