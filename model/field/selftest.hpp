// The published check values, compiled in and run at the start: a model that does not reproduce them is not served.
#pragma once

#include <string>
#include <vector>

#include "model/field/catalogue.hpp"

namespace agonic::field {

/// One table of check values against one model.
struct SelftestRow {
  std::string name;  ///< as "wmm2025 check values"
  std::string model;
  std::string source;  ///< the published source
  int values = 0;      ///< numbers compared
  int wrong = 0;       ///< numbers that differ in their last printed digit
  std::string worst;   ///< the first difference in words; empty if none
  [[nodiscard]] bool passed() const { return wrong == 0 && values > 0; }
};

/// Runs every table whose model is in the catalogue. Deterministic; takes milliseconds.
std::vector<SelftestRow> selftest(const Catalogue& catalogue);
bool all_passed(const std::vector<SelftestRow>& rows);

}  // namespace agonic::field
