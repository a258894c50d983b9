#include "server/spool.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <system_error>
#include <vector>

namespace agonic::server {
namespace {

constexpr std::size_t kPiece = 64 * 1024;

SpoolFull storage_fault(const char* doing) {
  return {SpoolFull::Reason::storage, std::string(doing) + ": " + std::generic_category().message(errno)};
}

}  // namespace

Spool::Spool(std::uint64_t limit, std::string folder, std::size_t memory)
    : limit_(limit), folder_(std::move(folder)), memory_(memory) {}

Spool::~Spool() {
  if (file_ >= 0) ::close(file_);
}

std::string Spool::temporary_folder() {
  const char* folder = std::getenv("TMPDIR");
  return folder != nullptr && *folder != '\0' ? folder : "/tmp";
}

void Spool::open_file() {
  file_ = ::open(folder_.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
  if (file_ >= 0) return;
  // Some file systems have no nameless files.
  std::string name = folder_ + "/agonic-XXXXXX";
  file_ = ::mkostemp(name.data(), O_CLOEXEC);
  if (file_ < 0) throw storage_fault("opening a temporary file");
  ::unlink(name.c_str());
}

void Spool::to_file(std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(file_, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) throw storage_fault("writing a temporary file");
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
}

void Spool::write(std::string_view bytes) {
  if (bytes.size() > limit_ - size_) throw SpoolFull(SpoolFull::Reason::limit, "the result exceeds its limit");
  size_ += bytes.size();
  held_.append(bytes);
  if (file_ < 0 && held_.size() > memory_) open_file();
  if (file_ >= 0 && held_.size() >= kPiece) {
    to_file(held_);
    held_.clear();
    if (held_.capacity() > 2 * kPiece) held_.shrink_to_fit();
  }
}

bool Spool::each(const std::function<bool(std::string_view)>& receiver) {
  std::vector<char> piece(file_ >= 0 ? kPiece : 0);
  for (off_t at = 0; file_ >= 0;) {
    const ssize_t got = ::pread(file_, piece.data(), piece.size(), at);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return false;
    if (got == 0) break;
    if (!receiver({piece.data(), static_cast<std::size_t>(got)})) return false;
    at += got;
  }
  for (std::size_t at = 0; at < held_.size(); at += kPiece)
    if (!receiver(std::string_view(held_).substr(at, kPiece))) return false;
  return true;
}

}  // namespace agonic::server
