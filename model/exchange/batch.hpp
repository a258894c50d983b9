// A batch of readings from bytes to bytes: rows in, the same rows with their corrections out, in order, in a window.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/field/catalogue.hpp"
#include "model/instrument/registry.hpp"
#include "model/units/parameters.hpp"
#include "model/units/problem.hpp"

namespace agonic::exchange {

enum class Format { csv, json, ndjson, geojson };
/// csv, json, ndjson, geojson and the media types.
std::optional<Format> format_of_name(std::string_view name);
std::string_view media_type(Format format) noexcept;

/// Takes the bytes of the result. An exception thrown by it (a full disk) passes through.
class ByteSink {
 public:
  virtual ~ByteSink() = default;
  virtual void write(std::string_view bytes) = 0;
};

/// A refused row, kept for the summary.
struct RefusedRow {
  std::uint64_t row = 0;   ///< data rows from 1
  std::uint64_t line = 0;  ///< lines of the file from 1; 0 where the format has none
  Problem problem;
};

/// What became of a batch.
struct Summary {
  std::uint64_t rows = 0, corrected = 0, unchanged = 0, refused = 0;
  std::map<std::string, std::uint64_t, std::less<>> checks;  ///< by code, of all rows
  std::vector<RefusedRow> first_refused;                     ///< the first kRefusedKept
};
inline constexpr std::size_t kRefusedKept = 100;
/// One JSON object on one line, in ASCII: it also travels in HTTP headers.
std::string to_json(const Summary& summary);
/// "412 corrected, 3 refused: lines 7, 19, 40": for people.
std::string to_line(const Summary& summary);

/// Runs tasks on threads of its own. Safe to use from several threads.
class Executor {
 public:
  virtual ~Executor() = default;
  /// Tasks do not throw.
  virtual void post(std::function<void()> task) = 0;
  /// Tasks that run at once.
  [[nodiscard]] virtual std::size_t width() const = 0;
};

/// How a batch is read and written.
struct BatchOptions {
  Format in = Format::csv;
  Format out = Format::csv;
  Parameters defaults;  ///< column defaults and options (decimal, delimiter, date_order, letters, model,
                        ///< force_unusable, again)
  std::chrono::sys_days today{};
  /// Corrects windows of rows beside each other; the result is the same. Must outlive the batch; null: the caller's
  /// thread does the work.
  Executor* executor = nullptr;
  /// Where the column `instrument` is looked up; null: a row that names one is refused unless it says all itself.
  std::shared_ptr<const instrument::Registry> instruments;
  bool gzip = false;  ///< the result as one gzip stream, packed on the same threads
};

/// What is wrong with the options alone; BatchCorrector::create refuses the same.
std::optional<Problem> check_options(const BatchOptions& options);

/// One batch. Feed bytes in pieces of any size: the result does not depend on how they are cut.
/// Not thread-safe; the catalogue must outlive it.
class BatchCorrector {
 public:
  /// Refuses unknown or contradictory options.
  static Result<std::unique_ptr<BatchCorrector>> create(const field::Catalogue& catalogue, BatchOptions options,
                                                        ByteSink& sink);
  virtual ~BatchCorrector() = default;
  /// @return a problem with the file as a whole (missing columns, already corrected, no JSON): stop feeding.
  virtual std::optional<Problem> feed(std::string_view bytes) = 0;
  /// Writes what is left. Call once, after the last feed() that returned nothing.
  virtual Result<Summary> finish() = 0;
  /// Rows done so far.
  [[nodiscard]] virtual std::uint64_t rows() const = 0;
};

}  // namespace agonic::exchange
