// One accepted socket: bytes in and out, each with a deadline. What they mean is the HTTP library's business.
#pragma once

#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

namespace agonic::server {

/// What a client may take. Judgement, with the loads measured for this service in mind.
struct Patience {
  std::chrono::milliseconds idle{5000};    ///< between two requests on one connection
  std::chrono::milliseconds head{10000};   ///< for a whole head, from its first byte
  std::chrono::milliseconds step{10000};   ///< for any single read or write
  std::chrono::milliseconds grace{10000};  ///< waiting before the rate counts
  std::uint64_t bytes_per_second = 2048;   ///< afterwards, on average of the time spent waiting for the client
};

/// Waiting for a client, added up: one that drips bytes is let go.
class Pace {
 public:
  explicit Pace(const Patience& patience) : patience_(&patience) {}
  void waited(std::chrono::steady_clock::duration time) { waited_ += time; }
  void moved(std::uint64_t bytes) { bytes_ += bytes; }
  [[nodiscard]] bool too_slow() const;

 private:
  const Patience* patience_;
  std::chrono::steady_clock::duration waited_{};
  std::uint64_t bytes_ = 0;
};

/// Owns no socket: the caller closes it. Used by one thread.
class Connection {
 public:
  static constexpr std::size_t kHeadMax = 64 * 1024;  ///< bytes handed out before a head must have ended

  Connection(int socket, const Patience& patience) : socket_(socket), patience_(patience), pace_(patience) {}

  /// True once there are bytes of the next request; they are then read as a head.
  /// @param leave asked a few times a second while idle: true ends the wait
  bool wait_for_request(const std::function<bool()>& leave);
  /// These bytes are read before anything from the socket.
  void begin_with(std::string_view bytes);
  /// What is read from here on is a body.
  void begin_body();

  /// 1 to `size` bytes, or -1 for the reason in trouble(); never 0, which the library takes for the end of a line.
  std::ptrdiff_t read(char* to, std::size_t size);

  enum class Trouble { none, gone, too_slow, head_too_long };
  [[nodiscard]] Trouble trouble() const { return trouble_; }
  /// Bytes handed out of the head.
  [[nodiscard]] std::size_t head_bytes() const { return head_bytes_; }
  /// The last thing handed out of the body was an empty line.
  [[nodiscard]] bool body_ended_in_empty_line() const { return tail_ == std::array{'\n', '\r', '\n'}; }

  /// Collects some; flush() sends what is left. False if the client does not take it.
  bool write(std::string_view bytes);
  bool flush();

  /// Says that nothing more will come, and takes what the client is still sending for a moment, so that the answer
  /// is not lost in a reset.
  void finish();

 private:
  enum class Got { bytes, nothing, timeout };
  Got receive(std::chrono::milliseconds wait);
  bool fill();
  bool send(std::string_view bytes);

  int socket_;
  const Patience& patience_;
  std::array<char, 16 * 1024> in_;
  std::size_t filled_ = 0;  // received
  std::size_t used_ = 0;    // and handed out of that
  std::string out_;
  bool in_body_ = false;
  std::size_t head_bytes_ = 0;
  std::chrono::steady_clock::time_point head_end_;
  Pace pace_;
  std::array<char, 3> tail_{};
  Trouble trouble_ = Trouble::none;
};

}  // namespace agonic::server
