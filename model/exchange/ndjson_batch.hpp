// NDJSON in: one reading a line.
#pragma once

#include <optional>
#include <string>

#include "model/exchange/options.hpp"
#include "model/exchange/row_batch.hpp"

namespace agonic::exchange {

class NdjsonBatch final : public RowBatch {
 public:
  NdjsonBatch(const field::Catalogue& catalogue, Options options, Format out, Work work);
  std::optional<Problem> feed(std::string_view bytes) override;
  Result<Summary> finish() override;

 private:
  std::optional<Problem> take_line(std::string_view line);
  Options options_;
  Format out_;
  std::shared_ptr<const RowReader> reader_;
  std::string rest_;  // a line whose end has not come yet
  std::uint64_t line_ = 1;
  bool first_row_ = true;
};

}  // namespace agonic::exchange
