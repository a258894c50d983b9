#include "clients/cli/output_file.hpp"

#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <filesystem>
#include <stdexcept>

#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

namespace fs = std::filesystem;

// The unfinished file's name while there is one, for the signal handler. Only one is written at a time.
std::atomic<const char*> unfinished{nullptr};

// Ctrl-C leaves no half of a result behind. Only calls that are safe in a signal handler.
extern "C" void remove_unfinished(int number) {
  if (const char* path = unfinished.load()) ::unlink(path);
  std::signal(number, SIG_DFL);
  std::raise(number);
}

std::runtime_error failed(const std::string& path, const std::string& why) {
  return std::runtime_error((path.empty() ? "standard output" : path) + ": " + why);
}

}  // namespace

OutputFile::OutputFile(const std::string& path) : path_(path == "-" ? "" : path) {
  if (path_.empty()) {
    file_ = stdout;
    return;
  }
  std::error_code error;
  if (fs::is_symlink(path_, error)) {
    const fs::path target = fs::weakly_canonical(path_, error);  // the link stays, its target is replaced
    if (!error) path_ = target.string();
  }
  const fs::file_status status = fs::status(path_, error);
  if (fs::is_directory(status)) throw failed(path_, "is a folder");
  // A device or pipe is written to, never replaced by a file.
  const bool replace = !fs::exists(status) || fs::is_regular_file(status);
  if (replace) beside_ = path_ + "." + std::to_string(::getpid()) + ".part";
  file_ = std::fopen(replace ? beside_.c_str() : path_.c_str(), "wb");
  if (file_ == nullptr) throw failed(path_, std::strerror(errno));
  if (!replace) return;
  unfinished = beside_.c_str();
  for (const int number : {SIGINT, SIGTERM, SIGHUP})
    if (std::signal(number, remove_unfinished) == SIG_IGN) std::signal(number, SIG_IGN);  // as under nohup
}

OutputFile::~OutputFile() {
  if (path_.empty() || file_ == nullptr) return;
  std::fclose(file_);
  discard();
}

void OutputFile::discard() {
  if (beside_.empty()) return;
  std::remove(beside_.c_str());
  unfinished = nullptr;
}

void OutputFile::write(std::string_view bytes) {
  if (std::fwrite(bytes.data(), 1, bytes.size(), file_) != bytes.size()) throw failed(path_, std::strerror(errno));
}

void OutputFile::commit() {
  if (path_.empty()) {
    if (std::fflush(file_) != 0) throw failed(path_, std::strerror(errno));
    return;
  }
  std::FILE* file = file_;
  file_ = nullptr;
  if (std::fclose(file) != 0 || (!beside_.empty() && std::rename(beside_.c_str(), path_.c_str()) != 0)) {
    const std::string why = std::strerror(errno);
    discard();
    throw failed(path_, why);
  }
  unfinished = nullptr;
}

std::string foreign_ending(const std::string& path) {
  std::error_code error;
  if (fs::is_directory(path, error)) return {};  // told when it is opened
  const std::string ending = fs::path(path).extension().string();
  for (const char* known : {"", ".", ".txt", ".csv", ".tsv", ".json", ".ndjson", ".jsonl", ".geojson"})
    if (is_word(ending, known)) return {};
  return printable(ending);
}

}  // namespace agonic::cli
