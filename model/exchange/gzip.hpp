// gzip (RFC 1952). In: an end that is missing or followed by something else is an error. Out: one stream made of pieces
// that may be packed beside each other.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace agonic::exchange {

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

/// Do the bytes begin as a gzip stream does? False while there are fewer than two.
bool looks_like_gzip(std::string_view bytes) noexcept;

/// A part of a stream: deflated by itself, so that parts can be packed on several threads, and ending on a whole byte.
struct GzipPiece {
  std::string packed;
  std::uint32_t checksum = 0;  ///< CRC-32 of the plain bytes
  std::uint64_t length = 0;    ///< of the plain bytes
};
/// Fast rather than small: level 1. Pieces of 100 KiB and more lose little against one run.
GzipPiece gzip_piece(std::string_view plain);

/// Joins pieces, in order. Not thread-safe.
class GzipJoiner {
 public:
  /// What stands before the first piece: no name, no time, so that the same rows give the same bytes.
  static std::string_view head() noexcept;
  void add(const GzipPiece& piece) noexcept;
  /// What stands behind the last one.
  [[nodiscard]] std::string tail() const;

 private:
  std::uint32_t checksum_ = 0;
  std::uint64_t length_ = 0;
};

}  // namespace agonic::exchange
