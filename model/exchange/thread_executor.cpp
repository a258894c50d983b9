#include "model/exchange/thread_executor.hpp"

namespace agonic::exchange {

ThreadExecutor::ThreadExecutor(std::size_t threads, const std::function<void()>& on_start) {
  for (std::size_t i = 0; i < threads; ++i)
    threads_.emplace_back([this, on_start] {
      if (on_start) on_start();
      work();
    });
}

ThreadExecutor::~ThreadExecutor() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
  }
  something_.notify_all();
  for (std::thread& thread : threads_) thread.join();
}

void ThreadExecutor::post(std::function<void()> task) {
  {
    const std::lock_guard lock(mutex_);
    tasks_.push_back(std::move(task));
  }
  something_.notify_one();
}

void ThreadExecutor::work() {
  std::unique_lock lock(mutex_);
  while (true) {
    something_.wait(lock, [this] { return closing_ || !tasks_.empty(); });
    if (tasks_.empty()) return;
    auto task = std::move(tasks_.front());
    tasks_.pop_front();
    lock.unlock();
    task();
    task = nullptr;
    lock.lock();
  }
}

}  // namespace agonic::exchange
