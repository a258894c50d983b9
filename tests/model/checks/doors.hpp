// Inputs of the catalogue through the doors that users have, and the codes that come back.
#pragma once

#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>

#include "coefficients/folder.hpp"
#include "model/checks/catalogue.hpp"
#include "model/desk/desk.hpp"
#include "model/exchange/batch.hpp"
#include "model/lookup/lookup.hpp"
#include "model/lookup/setting.hpp"
#include "model/lookup/sun.hpp"
#include "model/route/route.hpp"
#include "model/sightings/report.hpp"
#include "model/units/number.hpp"

namespace agonic::checks {

using Codes = std::set<std::string, std::less<>>;
using Cells = std::map<std::string, std::string, std::less<>>;

inline const std::chrono::sys_days kToday = std::chrono::year(2026) / 11 / 25;

inline const field::Catalogue& models() {
  static const field::Catalogue all(coefficient_texts(""));
  return all;
}

inline std::string source_file(const std::string& name) {
  std::ifstream in(std::string(AGONIC_SOURCE_DIR) + "/" + name);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

/// "azimuth=N95E; dip=40" over what is there already; a blank value takes the cell away.
inline void put_cells(std::string_view text, Cells& cells) {
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(';'), text.size());
    const std::string_view one = trim(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
    const std::size_t equals = one.find('=');
    if (equals == std::string_view::npos) continue;
    const std::string name(one.substr(0, equals)), value(one.substr(equals + 1));
    if (value.empty())
      cells.erase(name);
    else
      cells[name] = value;
  }
}
inline Cells cells_of(Where door, std::string_view text) {
  Cells cells;
  put_cells(base(door), cells);
  put_cells(text, cells);
  return cells;
}

/// Every text in the document, wherever it stands: a code among them was said.
inline void all_texts(const nlohmann::json& document, Codes& into) {
  if (document.is_string()) into.insert(document.get<std::string>());
  if (document.is_structured())
    for (const auto& part : document) all_texts(part, into);
}

class Sink final : public exchange::ByteSink {
 public:
  void write(std::string_view bytes) override { text += bytes; }
  std::string text;
};

inline Codes corrected(exchange::Format format, const std::string& text, const Cells& options) {
  exchange::BatchOptions batch_options;
  batch_options.in = batch_options.out = format;
  batch_options.defaults.values = options;
  batch_options.defaults.writer = Writer::person;
  batch_options.today = kToday;
  Sink sink;
  auto batch = exchange::BatchCorrector::create(models(), batch_options, sink);
  if (!batch) return {std::string(word(batch.problem().code))};
  if (const auto problem = (*batch)->feed(text)) return {std::string(word(problem->code))};
  const auto summary = (*batch)->finish();
  if (!summary) return {std::string(word(summary.problem().code))};
  Codes out;
  for (const auto& [code, count] : summary->checks) out.insert(code);
  for (const auto& row : summary->first_refused) out.insert(std::string(word(row.problem.code)));
  return out;
}

inline Codes said_of_row(const Input& input) {
  nlohmann::json row = nlohmann::json::object();
  for (const auto& [name, value] : cells_of(Where::row, input.text)) row[name] = value;
  Cells options;
  put_cells(input.options, options);
  return corrected(exchange::Format::json, nlohmann::json{{"readings", {row}}}.dump(), options);
}

inline Codes said_of_file(const Input& input) {
  Cells options;
  put_cells(input.options, options);
  return corrected(exchange::Format::csv, std::string(input.text), options);
}

template <class Result>
Codes problem_or(const Result& result, const auto& codes) {
  if (!result) return {std::string(word(result.problem().code))};
  return codes(*result);
}

inline Codes said_of_lookup(Where door, const Input& input) {
  const Parameters parameters{cells_of(door, input.text), Writer::person};
  geodesy::Grids grids;
  const auto codes = [](const Warned& answer) {
    return Codes(answer.warning_codes.begin(), answer.warning_codes.end());
  };
  if (door == Where::sun)
    return problem_or(lookup::parse_sun_query(parameters, kToday),
                      [&](const auto& query) { return codes(lookup::sun(query)); });
  if (door == Where::setting)
    return problem_or(lookup::parse_setting_query(parameters, kToday), [&](const auto& query) {
      return problem_or(lookup::setting(models(), grids, query),
                        [&](const auto& answer) { return codes(answer.declination); });
    });
  return problem_or(lookup::parse_query(parameters, kToday),
                    [&](const auto& query) { return problem_or(lookup::declination(models(), grids, query), codes); });
}

inline Codes said_of_document(desk::Job job, const Input& input) {
  const bool named = input.text.starts_with("tests/data/");
  const std::string body = named ? source_file(std::string(input.text)) : std::string(input.text);
  desk::Request request;
  request.in = job == desk::Job::swing ? desk::Format::text : desk::Format::csv;
  request.out = desk::Format::json;
  request.body = body;
  request.today = kToday;
  put_cells(input.options, request.parameters.values);
  geodesy::Grids grids;
  return problem_or(desk::work(job, models(), grids, request), [](const desk::Answer& answer) {
    Codes out;
    all_texts(nlohmann::json::parse(answer.body), out);
    return out;
  });
}

inline Codes said_of_route(const Input& input) {
  route::Request request;
  request.body = input.text;
  request.today = kToday;
  put_cells(input.options, request.parameters.values);
  return problem_or(route::work(models(), request), [](const route::Answer& answer) {
    Codes out;
    all_texts(nlohmann::json::parse(answer.body), out);
    return out;
  });
}

inline Codes said_of_sightings(const Input& input) {
  Parameters parameters;
  put_cells(input.options, parameters.values);
  geodesy::Grids grids;
  return problem_or(sightings::read_csv(input.text, parameters), [&](const auto& rows) {
    return problem_or(sightings::fit(models(), grids, rows, parameters, kToday), [](const sightings::Report& report) {
      Codes out;
      all_texts(nlohmann::json::parse(to_json(report)), out);
      return out;
    });
  });
}

inline Codes said(Where door, const Input& input) {
  switch (door) {
    case Where::row:
      return said_of_row(input);
    case Where::file:
      return said_of_file(input);
    case Where::lookup:
    case Where::setting:
    case Where::sun:
      return said_of_lookup(door, input);
    case Where::traverse:
      return said_of_document(desk::Job::traverse, input);
    case Where::rotation:
      return said_of_document(desk::Job::rotation, input);
    case Where::swing:
      return said_of_document(desk::Job::swing, input);
    case Where::route:
      return said_of_route(input);
    case Where::fit:
      return said_of_sightings(input);
    default:
      return {"no door"};
  }
}

inline std::string shown(const Codes& codes) {
  std::string out;
  for (const auto& code : codes)
    if (find(code) != nullptr) out += " " + code;
  return out.empty() ? " nothing" : out;
}

}  // namespace agonic::checks
