// Threads that work on batches.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

#include "model/exchange/batch.hpp"

namespace agonic::exchange {

/// A fixed number of threads, first come first served. The destructor finishes what was posted.
class ThreadExecutor final : public Executor {
 public:
  /// @param threads at least 1
  /// @param on_start called once in every thread, as to lower its priority
  explicit ThreadExecutor(std::size_t threads, const std::function<void()>& on_start = {});
  ~ThreadExecutor() override;
  ThreadExecutor(const ThreadExecutor&) = delete;
  ThreadExecutor& operator=(const ThreadExecutor&) = delete;
  void post(std::function<void()> task) override;
  [[nodiscard]] std::size_t width() const override { return threads_.size(); }

 private:
  void work();
  std::mutex mutex_;
  std::condition_variable something_;
  std::deque<std::function<void()>> tasks_;
  bool closing_ = false;
  std::vector<std::thread> threads_;
};

}  // namespace agonic::exchange
