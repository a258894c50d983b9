#include <nlohmann/json.hpp>

#include "model/exchange/added_text.hpp"
#include "model/exchange/batch.hpp"

namespace agonic::exchange {
namespace {
constexpr std::size_t kLinesNamed = 20;
}

std::string to_json(const Summary& summary) {
  nlohmann::ordered_json out{{"rows", summary.rows},
                             {"corrected", summary.corrected},
                             {"unchanged", summary.unchanged},
                             {"refused", summary.refused}};
  out["checks"] = nlohmann::ordered_json::object();
  for (const auto& [code, count] : summary.checks) out["checks"][code] = count;
  auto refused = nlohmann::ordered_json::array();
  for (const RefusedRow& row : summary.first_refused) {
    nlohmann::ordered_json entry{{"row", row.row}};
    if (row.line > 0) entry["line"] = row.line;
    entry["code"] = word(row.problem.code);
    entry["column"] = row.problem.field;
    entry["value"] = row.problem.value;
    entry["detail"] = row.problem.message;
    entry["remedy"] = row.problem.remedy;
    refused.push_back(std::move(entry));
  }
  out["first_refused"] = std::move(refused);
  return out.dump(-1, ' ', true, nlohmann::json::error_handler_t::replace);
}

std::string to_line(const Summary& summary) {
  std::string out = std::to_string(summary.corrected) + " corrected";
  if (summary.unchanged > 0) out += ", " + std::to_string(summary.unchanged) + " unchanged";
  out += ", " + std::to_string(summary.refused) + " refused";
  if (summary.first_refused.empty()) return out;
  const bool lines = !summary.first_refused.empty() && summary.first_refused.front().line > 0;
  out += summary.refused == 1 ? (lines ? ": line " : ": row ") : (lines ? ": lines " : ": rows ");
  std::size_t named = 0;
  for (const RefusedRow& row : summary.first_refused) {
    if (named == kLinesNamed) break;
    out += (named++ ? ", " : "") + std::to_string(lines ? row.line : row.row);
  }
  if (summary.refused > named) out += " and " + std::to_string(summary.refused - named) + " more";
  return out;
}

}  // namespace agonic::exchange
