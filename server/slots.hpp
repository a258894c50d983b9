// Bounds on work done at once, so that one kind of request cannot starve another.
#pragma once

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
    std::unique_lock lock(mutex_);
    if (!freed_.wait_for(lock, wait, [&] { return free_ > 0; })) return Hold(nullptr);
    --free_;
    return Hold(this);
  }

  /// Waits as long as it takes: only for work that always ends soon.
  [[nodiscard]] Hold take() {
    std::unique_lock lock(mutex_);
    freed_.wait(lock, [&] { return free_ > 0; });
    --free_;
    return Hold(this);
  }

  [[nodiscard]] std::size_t free() {
    const std::lock_guard lock(mutex_);
    return free_;
  }

 private:
  void give_back() {
    {
      const std::lock_guard lock(mutex_);
      ++free_;
    }
    freed_.notify_one();
  }

  std::mutex mutex_;
  std::condition_variable freed_;
  std::size_t free_;
};

}  // namespace agonic::server
