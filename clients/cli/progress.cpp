#include "clients/cli/progress.hpp"

#include <unistd.h>

#include <cstdio>
#include <string>

namespace agonic::cli {
namespace {
constexpr auto kFirst = std::chrono::milliseconds(500);
constexpr auto kEvery = std::chrono::milliseconds(100);
constexpr std::uint64_t kWidth = 30;
}  // namespace

Progress::Progress(std::uint64_t total)
    : total_(total), terminal_(::isatty(STDERR_FILENO) == 1), next_(std::chrono::steady_clock::now() + kFirst) {}

Progress::~Progress() {
  if (drawn_) std::fputs("\r\033[K", stderr);
}

void Progress::at(std::uint64_t bytes, std::uint64_t rows) {
  if (!terminal_) return;
  const auto now = std::chrono::steady_clock::now();
  if (now < next_) return;
  next_ = now + kEvery;
  drawn_ = true;
  if (total_ > 0) {
    const auto filled = static_cast<std::size_t>(kWidth * bytes / total_);
    std::fprintf(stderr, "\r[%s%s] %3llu %%  %llu rows", std::string(filled, '=').c_str(),
                 std::string(kWidth - filled, ' ').c_str(), static_cast<unsigned long long>(100 * bytes / total_),
                 static_cast<unsigned long long>(rows));
  } else {
    std::fprintf(stderr, "\r%llu rows", static_cast<unsigned long long>(rows));
  }
  std::fflush(stderr);
}

}  // namespace agonic::cli
