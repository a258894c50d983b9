// Where a batch finds the records of instruments: one team's, wherever they are kept.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "model/instrument/record.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

/// Safe to ask from many threads at once.
class Registry {
 public:
  virtual ~Registry() = default;
  /// The record as it stands now; Code::instrument_unknown for an id that is none.
  [[nodiscard]] virtual Result<std::shared_ptr<const Record>> find(std::string_view id) const = 0;
};

/// What every registry says of an id that it does not hold.
Problem unknown_instrument(std::string_view id);

/// Records in memory: of a dump, or in tests.
class MemoryRegistry final : public Registry {
 public:
  explicit MemoryRegistry(std::vector<Record> records);
  [[nodiscard]] Result<std::shared_ptr<const Record>> find(std::string_view id) const override;
  [[nodiscard]] std::size_t size() const { return records_.size(); }

 private:
  std::map<std::string, std::shared_ptr<const Record>, std::less<>> records_;
};

}  // namespace agonic::instrument
