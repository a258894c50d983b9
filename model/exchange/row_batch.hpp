// The window of rows that every format shares: gathered, corrected as columns, written in order.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "model/exchange/batch.hpp"
#include "model/exchange/row.hpp"
#include "model/exchange/writer.hpp"
#include "model/reading/corrector.hpp"

namespace agonic::exchange {

inline constexpr std::size_t kWindowRows = 1024;         ///< rows corrected together
inline constexpr std::size_t kWindowBytes = 4 << 20;     ///< or fewer, when they are long
inline constexpr std::size_t kLongestRow = 1024 * 1024;  ///< bytes; a longer one ends the batch
inline constexpr std::size_t kDeepestJson = 32;          ///< nesting
inline constexpr std::size_t kHeadBytes = 64 * 1024;     ///< CSV: in which the decimal mark is settled

/// Base of the readers. Derived classes turn bytes into rows.
class RowBatch : public BatchCorrector {
 public:
  [[nodiscard]] std::uint64_t rows() const override { return summary_.rows; }

 protected:
  RowBatch(const field::Catalogue& catalogue, ByteSink& sink)
      : catalogue_(catalogue), sink_(sink), window_(kWindowRows) {}

  /// Before the first row: how rows are read and written.
  void start(reading::Rules rules, std::unique_ptr<RowWriter> writer);
  [[nodiscard]] bool started() const { return writer_ != nullptr; }
  /// The next free row of the window, cleared. Fill it, then call added().
  Row& next();
  void added();
  /// Corrects and writes what is in the window.
  void flush();
  [[nodiscard]] const field::Catalogue& catalogue() const { return catalogue_; }
  /// Flushes and ends the output.
  Summary end();

 private:
  const field::Catalogue& catalogue_;
  ByteSink& sink_;
  std::unique_ptr<reading::Corrector> corrector_;
  std::unique_ptr<RowWriter> writer_;
  std::vector<Row> window_;
  std::size_t used_ = 0, bytes_ = 0;
  std::vector<reading::Cells> cells_;
  Summary summary_;
  std::string out_;
};

}  // namespace agonic::exchange
