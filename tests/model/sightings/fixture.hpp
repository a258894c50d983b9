// Rows to sightings with the models that the program carries.
#pragma once

#include <map>
#include <string>

#include "coefficients/folder.hpp"
#include "model/sightings/report.hpp"

namespace agonic::sightings {

using Texts = std::map<std::string, std::string, std::less<>>;
inline const std::chrono::sys_days kToday = std::chrono::year(2026) / 11 / 25;

inline const field::Catalogue& catalogue() {
  static const field::Catalogue one(coefficient_texts(""));
  return one;
}
inline geodesy::Grids& grids() {
  static geodesy::Grids one;
  return one;
}

inline Sighting read(const Texts& cells, Texts parameters = {}, Writer writer = Writer::program) {
  const auto rules = parse_rules({std::move(parameters), writer}, kToday);
  if (!rules) throw std::runtime_error(rules.problem().text());
  Row row;
  row.row = 1;
  for (const auto& [name, value] : cells) row[*column_of(name)] = value;
  return Reader(catalogue(), grids(), *rules).read(row);
}

inline Report fit_csv(std::string_view csv, Texts parameters = {}) {
  const Parameters given{std::move(parameters), Writer::program};
  const auto rows = read_csv(csv, given);
  if (!rows) throw std::runtime_error(rows.problem().text());
  auto report = fit(catalogue(), grids(), *rows, given, kToday);
  if (!report) throw std::runtime_error(report.problem().text());
  return *std::move(report);
}

}  // namespace agonic::sightings
