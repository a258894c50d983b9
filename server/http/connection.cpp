#include "server/http/connection.hpp"

#include <poll.h>
#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <cerrno>

namespace agonic::server {
namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;

constexpr milliseconds kIdleSlice{100};     // how soon an idle connection notices that the service stops
constexpr std::size_t kOutMax = 64 * 1024;  // collected before it is sent
constexpr milliseconds kLinger{1000};
constexpr std::size_t kLingerBytes = 4 << 20;

bool wait_for(int socket, short event, milliseconds wait) {
  pollfd entry{socket, event, 0};
  const Clock::time_point end = Clock::now() + wait;
  for (;;) {
    const auto left = std::chrono::ceil<milliseconds>(end - Clock::now()).count();
    const int ready = ::poll(&entry, 1, static_cast<int>(std::max<std::int64_t>(left, 0)));
    if (ready > 0) return true;
    if (ready == 0) return false;
    if (errno != EINTR) return true;  // the call that follows tells the error
  }
}

}  // namespace

bool Pace::too_slow() const {
  if (waited_ <= patience_->grace) return false;
  const double seconds = std::chrono::duration<double>(waited_ - patience_->grace).count();
  return static_cast<double>(bytes_) < seconds * static_cast<double>(patience_->bytes_per_second);
}

Connection::Got Connection::receive(milliseconds wait) {
  filled_ = used_ = 0;  // only called with everything used, or to be dropped
  for (;;) {
    const ssize_t got = ::recv(socket_, in_.data(), in_.size(), MSG_DONTWAIT);
    if (got > 0) {
      filled_ = static_cast<std::size_t>(got);
      return Got::bytes;
    }
    if (got == 0) return Got::nothing;
    if (errno == EINTR) continue;
    if (errno != EAGAIN && errno != EWOULDBLOCK) return Got::nothing;
    if (!wait_for(socket_, POLLIN, wait)) return Got::timeout;
  }
}

bool Connection::wait_for_request(const std::function<bool()>& leave) {
  const Clock::time_point idle_end = Clock::now() + patience_.idle;
  while (used_ == filled_) {
    const Got got = receive(std::min(kIdleSlice, patience_.idle));
    if (got == Got::nothing) return false;
    if (got == Got::timeout && (leave() || Clock::now() >= idle_end)) return false;
  }
  in_body_ = false;
  head_bytes_ = 0;
  head_end_ = Clock::now() + patience_.head;
  return true;
}

void Connection::begin_with(std::string_view bytes) {
  filled_ = bytes.copy(in_.data(), in_.size());
  used_ = 0;
  in_body_ = false;
  head_bytes_ = 0;
  trouble_ = Trouble::none;
}

void Connection::begin_body() {
  in_body_ = true;
  pace_ = Pace(patience_);
  tail_ = {};
}

bool Connection::fill() {
  const Clock::time_point start = Clock::now();
  const milliseconds wait =
      in_body_ ? patience_.step : std::min(patience_.step, std::chrono::ceil<milliseconds>(head_end_ - start));
  const Got got = wait.count() > 0 ? receive(wait) : Got::timeout;
  pace_.waited(Clock::now() - start);
  pace_.moved(filled_);
  if (got == Got::nothing) trouble_ = Trouble::gone;
  if (got == Got::timeout || (in_body_ && pace_.too_slow())) trouble_ = Trouble::too_slow;
  return trouble_ == Trouble::none;
}

std::ptrdiff_t Connection::read(char* to, std::size_t size) {
  if (trouble_ == Trouble::none && !in_body_ && head_bytes_ >= kHeadMax) trouble_ = Trouble::head_too_long;
  if (trouble_ != Trouble::none || (used_ == filled_ && !fill())) return -1;
  const std::size_t got = std::min(size, filled_ - used_);
  std::copy_n(in_.data() + used_, got, to);
  used_ += got;
  if (!in_body_) {
    head_bytes_ += got;
  } else {
    for (std::size_t i = got - std::min<std::size_t>(got, tail_.size()); i < got; ++i)
      tail_ = {tail_[1], tail_[2], to[i]};
  }
  return static_cast<std::ptrdiff_t>(got);
}

bool Connection::write(std::string_view bytes) {
  out_.append(bytes);
  return out_.size() < kOutMax || flush();
}

bool Connection::flush() {
  const bool sent = send(out_);
  out_.clear();
  return sent;
}

bool Connection::send(std::string_view bytes) {
  Pace pace(patience_);
  while (!bytes.empty()) {
    const ssize_t sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
    if (sent > 0) {
      bytes.remove_prefix(static_cast<std::size_t>(sent));
      pace.moved(static_cast<std::uint64_t>(sent));
      continue;
    }
    if (sent < 0 && errno == EINTR) continue;
    if (sent < 0 && errno != EAGAIN && errno != EWOULDBLOCK) return false;
    const Clock::time_point start = Clock::now();
    const bool ready = wait_for(socket_, POLLOUT, patience_.step);
    pace.waited(Clock::now() - start);
    if (!ready || pace.too_slow()) return false;
  }
  return true;
}

void Connection::finish() {
  ::shutdown(socket_, SHUT_WR);
  const Clock::time_point end = Clock::now() + kLinger;
  for (std::size_t taken = 0; taken < kLingerBytes; taken += filled_) {
    const auto left = std::chrono::ceil<milliseconds>(end - Clock::now());
    if (left.count() <= 0 || receive(left) != Got::bytes) return;
  }
}

}  // namespace agonic::server
