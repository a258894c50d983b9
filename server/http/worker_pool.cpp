#include "server/http/worker_pool.hpp"

#include <system_error>

namespace agonic::server {
namespace {
thread_local bool on_bouncer = false;
}

WorkerPool::WorkerPool(std::size_t threads, std::size_t queue)
    : threads_max_(threads), queue_max_(queue), bouncer_([this] { turn_away(); }) {}

WorkerPool::~WorkerPool() {
  shutdown(std::chrono::milliseconds(0), [] {});
}

bool WorkerPool::turning_away() noexcept { return on_bouncer; }

bool WorkerPool::start_thread() {
  try {
    threads_.emplace_back([this] { work(); });
    return true;
  } catch (const std::system_error&) {
    return false;  // the system has no more threads: those there go on
  }
}

void WorkerPool::enqueue(std::function<void()> job) {
  const std::lock_guard lock(mutex_);
  const bool thread_free = idle_ > jobs_.size();
  const bool has_thread = thread_free || (threads_.size() < threads_max_ && start_thread()) ||
                          (!threads_.empty() && jobs_.size() < queue_max_);
  if (has_thread) {
    jobs_.push_back(std::move(job));
    jobs_changed_.notify_one();
  } else {
    surplus_.push_back(std::move(job));
    surplus_changed_.notify_one();
  }
}

void WorkerPool::work() {
  std::unique_lock lock(mutex_);
  for (;;) {
    ++idle_;
    jobs_changed_.wait(lock, [&] { return !jobs_.empty() || stopping_; });
    --idle_;
    if (jobs_.empty()) break;
    const std::function<void()> job = std::move(jobs_.front());
    jobs_.pop_front();
    lock.unlock();
    job();
    lock.lock();
    work_done_.notify_all();
  }
}

void WorkerPool::turn_away() {
  on_bouncer = true;
  std::unique_lock lock(mutex_);
  for (;;) {
    surplus_changed_.wait(lock, [&] { return !surplus_.empty() || stopping_; });
    if (surplus_.empty()) break;
    const std::function<void()> job = std::move(surplus_.front());
    surplus_.pop_front();
    lock.unlock();
    job();
    lock.lock();
  }
}

void WorkerPool::shutdown(std::chrono::milliseconds patience, const std::function<void()>& late) {
  std::unique_lock lock(mutex_);
  if (stopping_) return;
  const auto all_idle = [&] { return jobs_.empty() && idle_ == threads_.size(); };
  if (!work_done_.wait_for(lock, patience, all_idle)) {
    lock.unlock();
    late();
    lock.lock();
  }
  stopping_ = true;
  jobs_changed_.notify_all();
  surplus_changed_.notify_all();
  lock.unlock();
  for (std::thread& thread : threads_) thread.join();
  bouncer_.join();
}

}  // namespace agonic::server
