// A file reviewed, for the tests of this folder.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <set>
#include <string>
#include <string_view>

#include "model/field/catalogue.hpp"
#include "model/review/reviewer.hpp"

namespace agonic::review {

inline const field::Catalogue& catalogue() {
  static const field::Catalogue models(field::built_in_texts());
  return models;
}

using Given = std::map<std::string, std::string, std::less<>>;

inline Result<Report> try_review(std::string_view text, const Given& given = {},
                                 exchange::Format format = exchange::Format::csv) {
  exchange::BatchOptions options;
  options.in = format;
  options.defaults.values = given;
  options.today = std::chrono::year(2026) / 11 / 1;
  auto reviewer = Reviewer::create(catalogue(), options);
  if (!reviewer) return reviewer.problem();
  if (auto problem = (*reviewer)->feed(text)) return *problem;
  return (*reviewer)->finish();
}

inline Report review_of(std::string_view text, const Given& given = {},
                        exchange::Format format = exchange::Format::csv) {
  auto report = try_review(text, given, format);
  if (!report) {
    ADD_FAILURE() << report.problem().text();
    return {};
  }
  return std::move(*report);
}

inline const Finding* find(const Report& report, Check check) {
  const auto at = std::find_if(report.findings.begin(), report.findings.end(),
                               [&](const Finding& finding) { return finding.check == check; });
  return at == report.findings.end() ? nullptr : &*at;
}

inline std::set<std::uint64_t> rows_of(const Report& report, const Finding& finding) {
  std::set<std::uint64_t> rows;
  for (const std::size_t i : finding.entries) rows.insert(report.notebook.entries[i].row);
  return rows;
}

inline std::string codes_of(const Report& report) {
  std::string out;
  for (const Finding& finding : report.findings)
    out += std::string(out.empty() ? "" : " ") + std::string(info(finding.check).code);
  return out;
}

}  // namespace agonic::review
