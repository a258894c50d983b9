#include <algorithm>
#include <nlohmann/json.hpp>
#include <string_view>
#include <utility>
#include <vector>

#include "model/exchange/added_text.hpp"
#include "model/exchange/batch.hpp"
#include "model/reading/checks.hpp"

namespace agonic::exchange {
namespace {
constexpr std::size_t kLinesNamed = 20;

// What rows were marked with, the most frequent first; what refused rows is named with their lines.
std::string to_look_at(const Summary& summary) {
  std::vector<std::pair<std::uint64_t, std::string_view>> marks;
  for (const reading::CheckInfo& check : reading::all_checks())
    if (const auto found = summary.checks.find(check.code); found != summary.checks.end())
      marks.emplace_back(found->second, check.code);
  std::stable_sort(marks.begin(), marks.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::string out;
  for (const auto& [count, code] : marks) {
    out += out.empty() ? "; to look at: " : ", ";
    out.append(code).append(" ").append(std::to_string(count));
  }
  return out;
}

}  // namespace

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
  if (summary.first_refused.empty()) return out + to_look_at(summary);
  const bool lines = !summary.first_refused.empty() && summary.first_refused.front().line > 0;
  out += summary.refused == 1 ? (lines ? ": line " : ": row ") : (lines ? ": lines " : ": rows ");
  std::size_t named = 0;
  for (const RefusedRow& row : summary.first_refused) {
    if (named == kLinesNamed) break;
    out += (named++ ? ", " : "") + std::to_string(lines ? row.line : row.row);
  }
  if (summary.refused > named) out += " and " + std::to_string(summary.refused - named) + " more";
  return out + to_look_at(summary);
}

}  // namespace agonic::exchange
