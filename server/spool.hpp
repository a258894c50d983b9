// The result of a batch while it is made: in memory while small, then in a temporary file that has no name.
#pragma once

#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>

#include "model/exchange/batch.hpp"
#include "server/http/message.hpp"

namespace agonic::server {

/// Thrown by Spool::write: the result cannot be kept.
class SpoolFull : public std::runtime_error {
 public:
  enum class Reason { limit, storage };
  SpoolFull(Reason reason, const std::string& what) : std::runtime_error(what), reason_(reason) {}
  [[nodiscard]] Reason reason() const noexcept { return reason_; }

 private:
  Reason reason_;
};

/// Not thread-safe. The file, if any, is gone with the object, and with the process however that ends.
class Spool final : public exchange::ByteSink, public BodySource {
 public:
  static constexpr std::size_t kMemory = 4 << 20;

  /// @param limit bytes kept at most
  /// @param folder for the temporary file
  explicit Spool(std::uint64_t limit, std::string folder = temporary_folder(), std::size_t memory = kMemory);
  ~Spool() override;
  Spool(const Spool&) = delete;
  Spool& operator=(const Spool&) = delete;

  void write(std::string_view bytes) override;
  [[nodiscard]] std::uint64_t size() const override { return size_; }
  bool each(const std::function<bool(std::string_view)>& receiver) override;
  [[nodiscard]] bool on_file() const { return file_ >= 0; }

  /// TMPDIR, else /tmp.
  static std::string temporary_folder();

 private:
  void open_file();
  void to_file(std::string_view bytes);

  const std::uint64_t limit_;
  const std::string folder_;
  const std::size_t memory_;
  std::string held_;  // all of it, or what waits for the next write to the file
  std::uint64_t size_ = 0;
  int file_ = -1;
};

}  // namespace agonic::server
