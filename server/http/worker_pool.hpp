// Threads for connections: made when needed, bounded, with a bounded queue and one thread that turns the rest away.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace agonic::server {

/// Thread-safe. The HTTP library gives one job a connection, so silent clients cost a sleeping thread each.
class WorkerPool {
 public:
  WorkerPool(std::size_t threads, std::size_t queue);
  ~WorkerPool();
  WorkerPool(const WorkerPool&) = delete;
  WorkerPool& operator=(const WorkerPool&) = delete;

  /// Never blocks. With all threads busy and the queue full, the job runs where turning_away() is true.
  void enqueue(std::function<void()> job);
  /// Runs what was enqueued, then ends the threads. @param late called once if that takes longer than `patience`
  void shutdown(std::chrono::milliseconds patience, const std::function<void()>& late);

  /// True on the thread that only answers "busy".
  static bool turning_away() noexcept;

 private:
  void work();
  void turn_away();
  bool start_thread();

  const std::size_t threads_max_;
  const std::size_t queue_max_;
  std::mutex mutex_;
  std::condition_variable jobs_changed_;
  std::condition_variable work_done_;
  std::deque<std::function<void()>> jobs_;
  std::deque<std::function<void()>> surplus_;
  std::condition_variable surplus_changed_;
  std::size_t idle_ = 0;
  bool stopping_ = false;
  std::vector<std::thread> threads_;
  std::thread bouncer_;
};

}  // namespace agonic::server
