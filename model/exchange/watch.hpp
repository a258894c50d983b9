// Rows looked at on their way through a correction, where nothing is written: what a review of a whole file needs.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "model/exchange/batch.hpp"

namespace agonic::reading {
struct Reading;
struct Surroundings;
struct Outcome;
}  // namespace agonic::reading

namespace agonic::exchange {

/// One row as it was read and what became of it. Everything lives until the call is over.
struct WatchedRow {
  std::uint64_t row = 0;                          ///< data rows from 1
  std::uint64_t line = 0;                         ///< lines of the file from 1; 0 where the format has none
  std::string_view raw;                           ///< its bytes
  const reading::Reading* reading = nullptr;      ///< null where its cells could not be read
  const reading::Surroundings* around = nullptr;  ///< with it: field and grids
  const reading::Outcome* outcome = nullptr;
  std::vector<std::string> passed;  ///< the texts of the columns wanted, blank where there are none
};

class RowWatcher {
 public:
  virtual ~RowWatcher() = default;
  /// Columns whose texts are wanted, in lower case: those that pass through and those that are read.
  [[nodiscard]] virtual const std::vector<std::string>& wanted() const = 0;
  /// Every row in order, on the feeding thread.
  virtual void row(const WatchedRow& row) = 0;
};

/// A batch that is read and corrected as any other, and shown instead of written. `out`, `gzip` and `executor` of the
/// options are not used. The watcher must outlive it.
Result<std::unique_ptr<BatchCorrector>> watch_batch(const field::Catalogue& catalogue, BatchOptions options,
                                                    RowWatcher& watcher);

}  // namespace agonic::exchange
