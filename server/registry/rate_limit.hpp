// How many calls a key may make: a bucket of tokens each, in memory of this process.
#pragma once

#include <chrono>
#include <map>
#include <mutex>
#include <string>

namespace agonic::server::registry {

/// Thread-safe.
class RateLimit {
 public:
  using Time = std::chrono::steady_clock::time_point;
  /// @param per_minute calls a minute; as many may come at once
  explicit RateLimit(unsigned per_minute) : quota_(per_minute) {}

  struct Share {
    bool granted = true;
    unsigned left = 0;       ///< calls that may still come at once
    long refilled_in_s = 0;  ///< until the bucket is full again
    long retry_in_s = 0;     ///< until the next call, where it was not granted
  };
  Share take(const std::string& bucket, Time now);
  [[nodiscard]] unsigned quota() const { return quota_; }

 private:
  struct Bucket {
    double tokens;
    Time at;
  };
  const unsigned quota_;
  std::mutex mutex_;
  std::map<std::string, Bucket> buckets_;  // one a key ever made: few
};

}  // namespace agonic::server::registry
