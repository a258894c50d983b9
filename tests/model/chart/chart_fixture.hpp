// Charts of the built-in models, and lines read back from them.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "model/chart/chart.hpp"
#include "tests/model/field/field_fixture.hpp"

namespace agonic::chart {

inline const std::chrono::sys_days kToday = std::chrono::year(2026) / 11 / 27;

inline Result<Chart> try_chart(const std::map<std::string, std::string>& given) {
  Parameters parameters;
  parameters.values.insert(given.begin(), given.end());
  const auto query = parse_query(parameters, kToday);
  if (!query) return query.problem();
  return chart(field::built_in_catalogue(), *query);
}
inline Chart chart_of(const std::map<std::string, std::string>& given) {
  auto made = try_chart(given);
  if (!made) throw std::runtime_error(made.problem().text());
  return *std::move(made);
}

inline std::vector<Line> lines_of(const Chart& chart) {
  std::vector<Line> all;
  for (const Sheet& sheet : chart.sheets) all.insert(all.end(), sheet.lines.begin(), sheet.lines.end());
  return all;
}

/// The rows of a table of check values in coefficients/.
inline std::vector<std::map<std::string, std::string>> check_rows(const std::string& file) {
  std::istringstream in(field::source_file("coefficients/" + file));
  std::vector<std::string> names;
  std::vector<std::map<std::string, std::string>> rows;
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    std::vector<std::string> row;
    for (std::string word; words >> word;) row.push_back(word);
    if (!names.empty() && row.size() == names.size()) {
      rows.emplace_back();
      for (std::size_t i = 0; i < row.size(); ++i) rows.back()[names[i]] = row[i];
    }
    if (line.starts_with("columns: ")) names.assign(row.begin() + 1, row.end());
  }
  return rows;
}

/// Half a unit of the last printed digit, and a little.
inline double half_unit(const std::string& printed) {
  const auto point = printed.find('.');
  const auto decimals = point == std::string::npos ? 0 : static_cast<int>(printed.size() - point - 1);
  return 0.501 * std::pow(10.0, -decimals);
}

/// Where lines cross a parallel: longitude and level, from the west.
inline std::vector<std::pair<double, double>> on_parallel(const std::vector<Line>& lines, double lat_deg) {
  std::vector<std::pair<double, double>> out;
  for (const Line& line : lines) {
    const std::size_t size = line.points.size();
    for (std::size_t i = 0; i + (line.closed ? 0 : 1) < size; ++i) {
      const Vertex a = line.points[i], b = line.points[(i + 1) % size];
      if ((a.lat_deg <= lat_deg) == (b.lat_deg <= lat_deg)) continue;
      const double t = (lat_deg - a.lat_deg) / (b.lat_deg - a.lat_deg);
      out.emplace_back(a.lon_deg + t * (b.lon_deg - a.lon_deg), line.level);
    }
  }
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace agonic::chart
