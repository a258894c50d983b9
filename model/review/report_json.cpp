// The report for programs.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "model/review/measure.hpp"
#include "model/review/reviewer.hpp"
#include "model/units/date.hpp"

namespace agonic::review {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) { return has(value) ? Json(value) : Json(nullptr); }
Json day(const std::optional<std::chrono::sys_days>& value) { return value ? Json(iso_day(*value)) : Json(nullptr); }
Json range(const Range& range) {
  return range.empty() ? Json(nullptr) : Json{{"low_deg", range.low}, {"high_deg", range.high}};
}

Json finding_json(const Report& report, const Finding& finding) {
  const CheckInfo& check = info(finding.check);
  Json out{{"code", check.code},
           {"severity", check.severity == reading::Severity::ask ? "ask" : "warn"},
           {"what", finding.what},
           {"question", finding.question.empty() ? Json(nullptr) : Json(finding.question)},
           {"group", finding.group.empty() ? Json(nullptr) : Json(finding.group)},
           {"degrees_per_row", finding.degrees},
           {"count", finding.entries.size()}};
  out["answers"] = Json::array();
  for (const Answer& answer : finding.answers)
    out["answers"].push_back({{"answer", answer.answer}, {"follows", answer.follows}});
  Json rows = Json::array(), lines = Json::array();
  for (const std::size_t i : finding.entries) {
    rows.push_back(report.notebook.entries[i].row);
    lines.push_back(report.notebook.entries[i].line);
  }
  out["rows"] = std::move(rows);
  if (report.notebook.lines) out["lines"] = std::move(lines);
  out["remedy"] = check.remedy;
  return out;
}

Json group_json(const Report& report, const GroupReport& group) {
  Json out{{"by", report.notebook.factor_names[static_cast<std::size_t>(group.factor)]},
           {"name", group.name},
           {"rows", group.rows},
           {"refused", group.refused},
           {"first_date", day(group.first)},
           {"last_date", day(group.last)},
           {"declination", range(group.declination)},
           {"setting", range(group.setting)},
           {"mean_deg", group.mean_deg ? Json(*group.mean_deg) : Json(nullptr)},
           {"mean_of_axes", group.mean_of_axes}};
  out["from_others"] = group.standing ? Json{{"offset_deg", group.standing->offset_deg},
                                             {"standard_error_deg", group.standing->sigma_deg},
                                             {"lines", group.standing->lines}}
                                      : Json(nullptr);
  return out;
}

Json counts(const Report& report) {
  std::size_t questions = 0;
  for (const Finding& finding : report.findings)
    if (!finding.question.empty()) ++questions;
  const Notebook& book = report.notebook;
  return {{"rows", book.entries.size()}, {"corrected", book.corrected},
          {"unchanged", book.unchanged}, {"refused", book.refused},
          {"questions", questions},      {"remarks", report.findings.size() - questions}};
}

std::string dump(const Json& json, bool ascii) { return json.dump(-1, ' ', ascii, Json::error_handler_t::replace); }

}  // namespace

std::string summary_json(const Report& report) { return dump(counts(report), true); }

std::string to_json(const Report& report) {
  Json out{{"summary", counts(report)}};
  out["first_date"] = day(report.first);
  out["last_date"] = day(report.last);
  out["declination"] = range(report.declination);
  out["shared_lines"] = report.shared_lines;
  out["repeat_sigma_deg"] = report.repeat_sigma_deg > 0 ? Json(report.repeat_sigma_deg) : Json(nullptr);
  Json checks = Json::object();
  for (const reading::CheckInfo& check : reading::all_checks()) {
    const auto n = std::count_if(report.notebook.entries.begin(), report.notebook.entries.end(),
                                 [&](const Entry& e) { return e.checks.has(check.check); });
    if (n > 0) checks[std::string(check.code)] = n;
  }
  out["row_checks"] = std::move(checks);
  out["findings"] = Json::array();
  for (const Finding& finding : report.findings) out["findings"].push_back(finding_json(report, finding));
  out["groups"] = Json::array();
  for (const GroupReport& group : report.groups) out["groups"].push_back(group_json(report, group));
  out["residuals"] = Json::array();
  for (const Residual& residual : report.residuals)
    out["residuals"].push_back(
        {{"row", report.notebook.entries[residual.entry].row}, {"degrees", number(residual.degrees)}});
  return dump(out, false);
}

}  // namespace agonic::review
