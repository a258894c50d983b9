// Rows of named cells through the corrector, with the built-in models.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "model/reading/corrector.hpp"
#include "tests/model/field/field_fixture.hpp"

namespace agonic::reading {

using Row = std::map<std::string, std::string>;

inline Rules rules_with(const Row& defaults = {}) {
  Rules rules;
  rules.today = std::chrono::sys_days(std::chrono::year(2026) / 11 / 20);
  for (const auto& [name, value] : defaults) rules.defaults[static_cast<std::size_t>(*column_of(name))] = value;
  return rules;
}

/// The text `null` is JSON null.
inline Cells cells_of(const Row& row) {
  Cells cells;
  for (const auto& [name, value] : row)
    cells[*column_of(name)] = value == "null" ? Cell{Cell::State::null, {}} : Cell{Cell::State::text, value};
  return cells;
}

/// A circle row with an observed declination of 10 E, so that results do not hang on a model.
inline Row row_with(const Row& more = {}) {
  Row row{{"lat", "46"},
          {"lon", "8"},
          {"date", "2026-05-01"},
          {"north_reference", "circle"},
          {"set_declination", "0"},
          {"azimuth", "100"},
          {"site_declination", "10E"},
          {"site_declination_sigma", "0.3"}};
  for (const auto& [name, value] : more) row[name] = value;
  return row;
}

inline Outcome run(const Row& row, Rules rules = rules_with()) {
  Corrector corrector(field::built_in_catalogue(), std::move(rules));
  const Cells cells = cells_of(row);
  return corrector.correct({&cells, 1}).front();
}

inline Outcome done(const Row& row, Rules rules = rules_with()) {
  Outcome out = run(row, std::move(rules));
  EXPECT_NE(out.status, Status::refused) << out.remark;
  return out;
}

inline Problem refused_row(const Row& row, Rules rules = rules_with()) {
  const Outcome out = run(row, std::move(rules));
  EXPECT_EQ(out.status, Status::refused) << out.remark;
  if (!out.problem) return {};
  EXPECT_FALSE(out.problem->field.empty());
  EXPECT_FALSE(out.problem->message.empty());
  EXPECT_FALSE(out.problem->remedy.empty()) << out.remark;
  for (const auto& number : out.numbers) EXPECT_FALSE(number);
  return *out.problem;
}

inline double value(const Outcome& out, Added added) {
  EXPECT_TRUE(out.number(added)) << name(added) << ": " << out.remark;
  return out.number(added).value_or(-999);
}

inline bool marked(const Outcome& out, std::string_view code) {
  return std::find(out.checks.begin(), out.checks.end(), code) != out.checks.end();
}

inline bool has(const std::string& text, const std::string& piece) { return text.find(piece) != std::string::npos; }

}  // namespace agonic::reading
