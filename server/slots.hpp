// Bounds on work done at once, so that one kind of request cannot starve another.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <mutex>

namespace agonic::server {

/// A counting semaphore whose holders cannot forget to give back. Thread-safe.
class Slots {
 public:
  explicit Slots(std::size_t count) : free_(count) {}

  /// One slot held, or none.
  class Hold {
   public:
    explicit Hold(Slots* slots) : slots_(slots) {}
    ~Hold() {
      if (slots_ != nullptr) slots_->give_back();
    }
    Hold(Hold&& other) noexcept : slots_(other.slots_) { other.slots_ = nullptr; }
    Hold(const Hold&) = delete;
    Hold& operator=(const Hold&) = delete;
    explicit operator bool() const { return slots_ != nullptr; }

   private:
    Slots* slots_;
  };

  /// Waits at most this long.
  [[nodiscard]] Hold take(std::chrono::milliseconds wait) {
    if (try_take()) return Hold(this);  // the usual case asks neither lock nor clock
    std::unique_lock lock(mutex_);
    ++waiting_;
    const bool taken = freed_.wait_for(lock, wait, [&] { return try_take(); });
    --waiting_;
    return Hold(taken ? this : nullptr);
  }

  [[nodiscard]] std::size_t free() const { return free_; }

 private:
  bool try_take() {
    std::size_t free = free_;
    while (free > 0)
      if (free_.compare_exchange_weak(free, free - 1)) return true;
    return false;
  }

  void give_back() {
    ++free_;
    // In one order for all threads: whoever waits has been counted before it looked at free_ for the last time.
    if (waiting_ == 0) return;
    const std::lock_guard lock(mutex_);
    freed_.notify_one();
  }

  std::atomic<std::size_t> free_;
  std::atomic<std::size_t> waiting_ = 0;
  std::mutex mutex_;
  std::condition_variable freed_;
};

}  // namespace agonic::server
