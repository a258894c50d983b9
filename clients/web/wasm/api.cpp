// The model library as the page calls it: one function, a name and JSON in, JSON out.
//
//   load         {"models": [{"id", "table", "about", "check_values", "poles", "dip_poles"}]}: folders as texts, put
//                beside those loaded before
//   declination  {"today": "2028-07-04", "parameters": {"place": "...", "date": "..."}}: as GET /v1/declination
//   setting, sun  the same, as their calls
//   correct      {"today", "columns": {...}, "parameters": {...}}: one reading; what a person typed
//   notebook     {"today", "csv": "...", "parameters": {...}}: {"csv", "summary"}
//   card         {"html": ...}: the card of a place, as GET /v1/card
//   chart        lines and zones of a chart: see chart_call.hpp
//   models       as GET /v1/models
//
// What is refused comes back as {"problem": {"code", "field", "value", "message", "remedy"}}.
#include <chrono>
#include <cstdint>
#include <deque>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "clients/web/wasm/chart_call.hpp"
#include "coefficients/built_in.hpp"
#include "model/card/card.hpp"
#include "model/exchange/added_text.hpp"
#include "model/exchange/csv_batch.hpp"
#include "model/lookup/setting.hpp"
#include "model/lookup/sun.hpp"
#include "model/reading/corrector.hpp"
#include "model/units/json_out.hpp"

namespace agonic {
namespace {

using Json = nlohmann::json;

struct Loaded {
  std::string id, table, about, check_values, poles, dip_poles;
};
std::deque<Loaded>& loaded() {
  static std::deque<Loaded> all;
  return all;
}
std::vector<coefficients::BuiltIn>& views() {
  static std::vector<coefficients::BuiltIn> all;
  return all;
}
std::unique_ptr<field::Catalogue>& catalogue() {
  static std::unique_ptr<field::Catalogue> made;
  return made;
}
geodesy::Grids& grids() {
  static geodesy::Grids all;
  return all;
}

std::string problem_json(const Problem& problem) {
  Text text;
  text += "{\"problem\":";
  JsonObject out(text);
  out.add("code", word(problem.code));
  out.add("field", problem.field);
  out.add("value", problem.value);
  out.add("message", problem.message);
  out.add("remedy", problem.remedy);
  out.end();
  text += '}';
  return std::string(text.view());
}

std::string text_of(const Json& object, const char* name) {
  const auto found = object.find(name);
  return found != object.end() && found->is_string() ? found->get<std::string>() : std::string();
}

Parameters parameters_of(const Json& in, Writer writer = Writer::program) {
  Parameters out;
  out.writer = writer;
  if (const auto found = in.find("parameters"); found != in.end() && found->is_object())
    for (const auto& [name, value] : found->items())
      if (value.is_string()) out.values[name] = value.get<std::string>();
  return out;
}

// The clock is the page's: its day in UTC.
Result<std::chrono::sys_days> today_of(const Json& in) {
  const std::string text = text_of(in, "today");
  int year = 0;
  unsigned month = 0, day = 0;
  if (std::sscanf(text.c_str(), "%d-%u-%u", &year, &month, &day) == 3) {
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(month), std::chrono::day(day)};
    if (date.ok()) return std::chrono::sys_days(date);
  }
  return Problem{Code::date_missing, "today", text, "the day at hand is missing", {}};
}

std::string load(const Json& in) {
  if (const auto models = in.find("models"); models != in.end() && models->is_array())
    for (const Json& model : *models)
      loaded().push_back({text_of(model, "id"), text_of(model, "table"), text_of(model, "about"),
                          text_of(model, "check_values"), text_of(model, "poles"), text_of(model, "dip_poles")});
  views().clear();
  std::vector<field::CoefficientText> texts;
  for (const Loaded& model : loaded()) {
    views().push_back({model.id, model.table, model.about, model.check_values, model.poles, model.dip_poles});
    texts.push_back({model.id + "/table.txt", model.table, model.id + "/about.txt", model.about});
  }
  catalogue() = std::make_unique<field::Catalogue>(texts);
  return "{\"loaded\":" + std::to_string(loaded().size()) + "}";
}

std::string declination(const Json& in) {
  const auto today = today_of(in);
  if (!today) return problem_json(today.problem());
  const auto query = lookup::parse_query(parameters_of(in), *today);
  if (!query) return problem_json(query.problem());
  const auto answer = lookup::declination(*catalogue(), grids(), *query);
  return answer ? lookup::to_json(*answer) : problem_json(answer.problem());
}

std::string setting(const Json& in) {
  const auto today = today_of(in);
  if (!today) return problem_json(today.problem());
  const auto query = lookup::parse_setting_query(parameters_of(in), *today);
  if (!query) return problem_json(query.problem());
  const auto answer = lookup::setting(*catalogue(), grids(), *query);
  return answer ? lookup::to_json(*answer) : problem_json(answer.problem());
}

std::string sun(const Json& in) {
  const auto today = today_of(in);
  if (!today) return problem_json(today.problem());
  const auto query = lookup::parse_sun_query(parameters_of(in), *today);
  return query ? lookup::to_json(lookup::sun(*query)) : problem_json(query.problem());
}

std::string card_page(const Json& in) {
  const auto today = today_of(in);
  if (!today) return problem_json(today.problem());
  const auto sheet = card::gather(*catalogue(), grids(), parameters_of(in), nullptr, *today);
  if (!sheet) return problem_json(sheet.problem());
  const auto page = card::html(*sheet);
  if (!page) return problem_json(page.problem());
  Text text;
  text += "{\"html\":";
  append_json_string(*page, text);
  text += '}';
  return std::string(text.view());
}

std::string chart_lines(const Json& in) {
  const auto today = today_of(in);
  if (!today) return problem_json(today.problem());
  auto answer = chart_call(*catalogue(), parameters_of(in), *today);
  return answer ? *std::move(answer) : problem_json(answer.problem());
}

std::string correct(const Json& in) {
  const auto today = today_of(in);
  if (!today) return problem_json(today.problem());
  auto options = exchange::parse_options(parameters_of(in, Writer::person), *today);
  if (!options) return problem_json(options.problem());
  if (const auto problem = exchange::check_model(*options, *catalogue())) return problem_json(*problem);
  const Json columns = in.value("columns", Json::object());
  std::deque<std::string> texts;
  reading::Cells cells;
  for (const auto& [name, value] : columns.items()) {
    const auto column = reading::column_of(name);
    if (!column || !value.is_string()) continue;
    cells[*column] = {reading::Cell::State::text, texts.emplace_back(value.get<std::string>())};
  }
  const bool with_target = columns.contains("target_date");
  reading::Corrector corrector(*catalogue(), options->rules);
  corrector.add(cells);
  corrector.evaluate();
  const reading::Outcome& outcome = corrector.next();
  if (outcome.problem) return problem_json(*outcome.problem);
  exchange::AddedMembers added;
  Text text;
  text += '{';
  added.append(outcome, with_target, text);
  text += '}';
  return std::string(text.view());
}

class Collect final : public exchange::ByteSink {
 public:
  void write(std::string_view bytes) override { text += bytes; }
  std::string text;
};

std::string notebook(const Json& in) {
  const auto today = today_of(in);
  if (!today) return problem_json(today.problem());
  auto options = exchange::parse_options(parameters_of(in), *today);
  if (!options) return problem_json(options.problem());
  if (const auto problem = exchange::check_model(*options, *catalogue())) return problem_json(*problem);
  Collect sink;
  exchange::CsvBatch batch(*catalogue(), *std::move(options), exchange::Format::csv, {&sink, nullptr, false});
  if (const auto problem = batch.feed(text_of(in, "csv"))) return problem_json(*problem);
  const auto summary = batch.finish();
  if (!summary) return problem_json(summary.problem());
  Text text;
  text += "{\"summary\":";
  text += exchange::to_json(*summary);
  text += ",\"csv\":";
  append_json_string(sink.text, text);
  text += '}';
  return std::string(text.view());
}

std::string answer(std::string_view name, std::string_view json) {
  const Json in = Json::parse(json, nullptr, false);
  if (!in.is_object())
    return problem_json({Code::file_malformed, std::string(name), {}, "the call carries no JSON object", {}});
  if (name == "load") return load(in);
  if (!catalogue()) return problem_json({Code::internal, std::string(name), {}, "no model is loaded", {}});
  if (name == "declination") return declination(in);
  if (name == "setting") return setting(in);
  if (name == "sun") return sun(in);
  if (name == "card") return card_page(in);
  if (name == "chart") return chart_lines(in);
  if (name == "correct") return correct(in);
  if (name == "notebook") return notebook(in);
  if (name == "models") return lookup::models_json(*catalogue());
  return problem_json({Code::not_found, std::string(name), {}, "there is no such function", {}});
}

std::string& result() {
  static std::string text;
  return text;
}

}  // namespace

namespace coefficients {
std::span<const BuiltIn> built_in() { return views(); }
}  // namespace coefficients

}  // namespace agonic

// Memory for what the page writes into the module; given back by `call`.
extern "C" __attribute__((export_name("room"))) char* room(std::size_t size) { return new char[size]; }

/// @param name, json made by room(), `name_size` and `json_size` bytes
/// @return the length of the answer, which begins at answer_at()
extern "C" __attribute__((export_name("call"))) std::size_t call(char* name, std::size_t name_size, char* json,
                                                                 std::size_t json_size) {
  agonic::result() = agonic::answer({name, name_size}, {json, json_size});
  delete[] name;
  delete[] json;
  return agonic::result().size();
}

extern "C" __attribute__((export_name("answer_at"))) const char* answer_at() { return agonic::result().data(); }
