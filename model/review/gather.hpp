// Rows on their way through a correction, kept for the review.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "model/exchange/watch.hpp"
#include "model/review/notebook.hpp"

namespace agonic::review {

class Gatherer final : public exchange::RowWatcher {
 public:
  /// @param group_by a column of the file's own; empty: none
  /// @param instrument the default of that column; empty: none
  Gatherer(const std::string& group_by, std::string instrument);
  [[nodiscard]] const std::vector<std::string>& wanted() const override { return wanted_; }
  void row(const exchange::WatchedRow& row) override;
  [[nodiscard]] std::size_t rows() const { return book_.entries.size(); }
  [[nodiscard]] bool group_seen() const { return group_seen_; }
  Notebook take() { return std::move(book_); }

 private:
  void place_in_groups(const exchange::WatchedRow& row, Entry& entry);
  std::vector<std::string> wanted_;
  std::string instrument_;
  bool group_seen_ = false;
  Notebook book_;
};

}  // namespace agonic::review
