#include "model/field/selftest.hpp"

#include <algorithm>

#include "coefficients/built_in.hpp"
#include "model/field/check_table.hpp"

namespace agonic::field {

std::vector<SelftestRow> selftest(const Catalogue& catalogue) {
  std::vector<SelftestRow> rows;
  for (const coefficients::BuiltIn& model : coefficients::built_in()) {
    if (catalogue.find(model.id) == nullptr) continue;
    const std::string folder = "coefficients/" + std::string(model.id);
    const auto run = [&](std::string_view text, const char* file) {
      if (!text.empty()) rows.push_back(run_check(read_check_table(folder + file, text), catalogue));
    };
    run(model.check_values, "/check_values.txt");
    run(model.poles, "/poles.txt");
    run(model.dip_poles, "/dip_poles.txt");
  }
  return rows;
}

bool all_passed(const std::vector<SelftestRow>& rows) {
  return !rows.empty() && std::all_of(rows.begin(), rows.end(), [](const SelftestRow& row) { return row.passed(); });
}

}  // namespace agonic::field
