// A progress bar on a terminal, for work that takes more than a moment.
#pragma once

#include <chrono>
#include <cstdint>

namespace agonic::cli {

class Progress {
 public:
  /// @param total bytes to come; 0 when not known. Draws nothing unless standard error is a terminal.
  explicit Progress(std::uint64_t total);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  void at(std::uint64_t bytes, std::uint64_t rows);

 private:
  std::uint64_t total_;
  bool terminal_, drawn_ = false;
  std::chrono::steady_clock::time_point next_;
};

}  // namespace agonic::cli
