#include "server/registry/rate_limit.hpp"

#include <algorithm>
#include <cmath>

namespace agonic::server::registry {

RateLimit::Share RateLimit::take(const std::string& name, Time now) {
  const std::lock_guard lock(mutex_);
  const double full = quota_;
  const double a_second = full / 60;
  Bucket& bucket = buckets_.try_emplace(name, Bucket{full, now}).first->second;
  const double waited = std::max(0.0, std::chrono::duration<double>(now - bucket.at).count());
  bucket.tokens = std::min(full, bucket.tokens + waited * a_second);
  bucket.at = now;
  Share share;
  share.granted = bucket.tokens >= 1;
  if (share.granted)
    bucket.tokens -= 1;
  else
    share.retry_in_s = std::max(1L, std::lround(std::ceil((1 - bucket.tokens) / a_second)));
  share.left = static_cast<unsigned>(bucket.tokens);
  share.refilled_in_s = std::lround(std::ceil((full - bucket.tokens) / a_second));
  return share;
}

}  // namespace agonic::server::registry
