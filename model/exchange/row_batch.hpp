// The windows of rows that every format shares: gathered in order, corrected as columns, written in order.
//
//   bytes -> reader's thread: records into a window -> any thread: cells, outcomes, text -> reader's thread: the sink
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <vector>

#include "model/exchange/batch.hpp"
#include "model/exchange/gzip.hpp"
#include "model/exchange/row.hpp"
#include "model/exchange/watch.hpp"
#include "model/exchange/writer.hpp"
#include "model/reading/corrector.hpp"

namespace agonic::exchange {

inline constexpr std::size_t kWindowRows = 1024;         ///< rows corrected together
inline constexpr std::size_t kWindowBytes = 4 << 20;     ///< or fewer, when they are long
inline constexpr std::size_t kLongestRow = 1024 * 1024;  ///< bytes; a longer one ends the batch
inline constexpr std::size_t kDeepestJson = 32;          ///< nesting
inline constexpr std::size_t kHeadBytes = 64 * 1024;     ///< CSV: in which the decimal mark is settled

/// Where a batch's result goes, and who works on it.
struct Work {
  ByteSink* sink;
  Executor* executor;
  bool gzip;
  RowWatcher* watcher = nullptr;  ///< rows are shown to it and nothing is written; then without an executor
};

using MakeWriter = std::function<std::unique_ptr<RowWriter>()>;

/// Base of the formats. Derived classes cut bytes into records.
class RowBatch : public BatchCorrector {
 public:
  ~RowBatch() override;
  [[nodiscard]] std::uint64_t rows() const override { return summary_.rows; }

 protected:
  RowBatch(const field::Catalogue& catalogue, Work work);

  /// Before the first row: how rows are read and written.
  void start(reading::Rules rules, std::shared_ptr<const RowReader> reader, MakeWriter make_writer);
  [[nodiscard]] bool started() const { return writer_ != nullptr; }

  enum class RecordKind : unsigned char { row, blank, broken };
  /// The next record, which is copied.
  void take_record(std::string_view record, std::string_view ending, std::uint64_t line, RecordKind kind);
  [[nodiscard]] const field::Catalogue& catalogue() const { return catalogue_; }
  /// Corrects and writes what is left, and ends the output.
  Summary end();

 private:
  struct Window;
  struct Bench;  // what one thread works with

  void dispatch();
  void work(Window& window, Bench& bench) const;
  void show(const Row& row, std::uint64_t number, const reading::Outcome& outcome, Bench& bench) const;
  void emit(Window& window);
  void put(std::string_view plain);  // outside windows: the beginning and the end
  void emit_oldest();
  std::unique_ptr<Bench> take_bench();

  const field::Catalogue& catalogue_;
  const Work work_;
  reading::Rules rules_;
  std::shared_ptr<const RowReader> reader_;
  MakeWriter make_writer_;
  std::unique_ptr<RowWriter> writer_;  // of the beginning and the end
  Summary summary_;
  GzipJoiner joiner_;
  std::uint64_t rows_taken_ = 0;

  std::unique_ptr<Window> window_;                 // being filled
  std::vector<std::unique_ptr<Window>> spare_;     // with their memory
  std::deque<std::unique_ptr<Window>> under_way_;  // posted, in order
  std::mutex mutex_;                               // of what follows, and of Window::done
  std::condition_variable done_;
  std::vector<std::unique_ptr<Bench>> benches_;
};

}  // namespace agonic::exchange
