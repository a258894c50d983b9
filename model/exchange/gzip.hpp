// Strict gzip (RFC 1952) inflation: an end that is missing or followed by something else is an error.
#pragma once

#include <functional>
#include <memory>
#include <string_view>

namespace agonic::server {

/// One compressed body. Not thread-safe.
class Inflater {
 public:
  enum class Outcome { ok, stopped, malformed };

  Inflater();
  ~Inflater();
  Inflater(const Inflater&) = delete;
  Inflater& operator=(const Inflater&) = delete;

  /// @param receiver takes up to 64 KiB at a time; false stops
  Outcome feed(std::string_view bytes, const std::function<bool(std::string_view)>& receiver);
  /// True when a member has ended and nothing was begun after it.
  [[nodiscard]] bool at_end() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace agonic::server
