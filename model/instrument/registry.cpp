#include "model/instrument/registry.hpp"

namespace agonic::instrument {

Problem unknown_instrument(std::string_view id) {
  return {Code::instrument_unknown, "instrument", std::string(id), "no instrument of this id is recorded",
          "Record it first, or give its index errors in columns"};
}

MemoryRegistry::MemoryRegistry(std::vector<Record> records) {
  for (Record& record : records) {
    const std::string id = record.id;
    records_.insert_or_assign(id, std::make_shared<const Record>(std::move(record)));
  }
}

Result<std::shared_ptr<const Record>> MemoryRegistry::find(std::string_view id) const {
  const auto found = records_.find(id);
  if (found == records_.end()) return unknown_instrument(id);
  return found->second;
}

}  // namespace agonic::instrument
