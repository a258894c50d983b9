// Where a batch's result goes.
#pragma once

#include <cstdio>
#include <string>

#include "model/exchange/batch.hpp"

namespace agonic::cli {

/// Standard output, or a file that appears under its name only when it is complete. A device or pipe is written to
/// directly. One at a time: an interrupt removes the unfinished file.
class OutputFile final : public exchange::ByteSink {
 public:
  /// @param path empty or "-": standard output. Throws std::runtime_error.
  explicit OutputFile(const std::string& path);
  ~OutputFile() override;
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;
  void write(std::string_view bytes) override;
  /// Puts the file in place. Throws std::runtime_error.
  void commit();

 private:
  void discard();
  std::string path_;
  std::string beside_;  ///< the unfinished file; empty where none is needed
  std::FILE* file_ = nullptr;
};

/// ".xlsx" where a name's ending says a type that is none of ours, so that nobody finds CSV under it; else empty: no
/// ending, .txt and standard output say nothing.
std::string foreign_ending(const std::string& path);

}  // namespace agonic::cli
