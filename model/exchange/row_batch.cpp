#include "model/exchange/row_batch.hpp"

namespace agonic::exchange {
namespace {
constexpr std::size_t kKeptBytes = 4096;  // a row that was long gives its memory back
}

void Row::clear() {
  if (raw.capacity() > kKeptBytes) std::string().swap(raw);
  raw.clear();
  ending.clear();
  line = 0;
  cells = {};
  texts.clear();
  if (fields.capacity() > kKeptBytes / sizeof(std::string_view)) std::vector<std::string_view>().swap(fields);
  fields.clear();
  problem.reset();
  splice = insert_first = blank = false;
  insert_at = 0;
}

void RowBatch::start(reading::Rules rules, std::unique_ptr<RowWriter> writer) {
  corrector_ = std::make_unique<reading::Corrector>(catalogue_, std::move(rules));
  writer_ = std::move(writer);
  writer_->begin(out_);
}

Row& RowBatch::next() {
  if (used_ == window_.size() || bytes_ > kWindowBytes) flush();
  Row& row = window_[used_];
  row.clear();
  return row;
}

void RowBatch::added() {
  const Row& row = window_[used_++];
  bytes_ += row.raw.size() + row.fields.size() * sizeof(std::string_view);
}

void RowBatch::flush() {
  cells_.clear();
  for (std::size_t i = 0; i < used_; ++i)
    if (!window_[i].problem && !window_[i].blank) cells_.push_back(window_[i].cells);
  auto outcomes = corrector_->correct(cells_);
  std::size_t corrected = 0;
  for (std::size_t i = 0; i < used_; ++i) {
    const Row& row = window_[i];
    if (row.blank) {
      writer_->blank(row, out_);
      continue;
    }
    const reading::Outcome outcome = row.problem ? reading::refused(*row.problem) : std::move(outcomes[corrected++]);
    ++summary_.rows;
    switch (outcome.status) {
      case reading::Status::corrected:
        ++summary_.corrected;
        break;
      case reading::Status::unchanged:
        ++summary_.unchanged;
        break;
      case reading::Status::refused:
        ++summary_.refused;
        if (summary_.first_refused.size() < kRefusedKept)
          summary_.first_refused.push_back({summary_.rows, row.line, *outcome.problem});
        break;
    }
    for (std::string_view code : outcome.checks) {
      const auto at = summary_.checks.find(code);
      if (at != summary_.checks.end())
        ++at->second;
      else
        summary_.checks.emplace(code, 1);
    }
    writer_->row(row, outcome, out_);
  }
  used_ = bytes_ = 0;
  sink_.write(out_);
  out_.clear();
}

Summary RowBatch::end() {
  flush();
  writer_->end(summary_, out_);
  sink_.write(out_);
  out_.clear();
  return summary_;
}

}  // namespace agonic::exchange
