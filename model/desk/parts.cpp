#include "model/desk/parts.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"
#include "model/units/prose.hpp"
#include "model/units/yes.hpp"

namespace agonic::desk {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kLineWidth = 100;
constexpr std::size_t kLinesNamed = 20;

std::string dump(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace); }

}  // namespace

std::string json_text(std::string_view text) { return dump(Json(std::string(text))); }
std::string json_number(const std::optional<double>& number) { return number ? dump(Json(*number)) : "null"; }

std::string notes_json(const std::vector<Note>& notes) {
  Json out = Json::array();
  for (const Note& note : notes) out.push_back({{"code", note.code}, {"text", note.text}});
  return dump(out);
}

std::string notes_text(const std::vector<Note>& notes) {
  std::string out;
  for (const Note& note : notes)
    out += wrapped(note.text + " [" + std::string(note.code) + "]", "note:", "     ", kLineWidth);
  return out;
}

std::string TextTable::text() const {
  std::vector<std::size_t> widths;
  for (const auto& row : rows_)
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (widths.size() <= i) widths.push_back(0);
      widths[i] = std::max(widths[i], width_of(row[i]));
    }
  std::string out;
  for (const auto& row : rows_) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i) {
      const std::string pad(widths[i] - width_of(row[i]), ' ');
      const bool left = i < left_ || (i > 0 && i == words_);
      line += (i > 0 ? "  " : "") + (left ? row[i] + pad : pad + row[i]);
    }
    out += line.substr(0, line.find_last_not_of(' ') + 1) + '\n';
  }
  return out;
}

std::string azimuth_words(const std::optional<double>& azimuth_deg, const reading::AzimuthStyle& style) {
  if (!azimuth_deg) return "-";
  if (style.quadrant) {
    const double rounded = style.minutes || style.seconds ? *azimuth_deg : std::nearbyint(*azimuth_deg * 100) / 100;
    return reading::quadrant_text(rounded, style);
  }
  if (!style.minutes && !style.seconds) return format_azimuth(*azimuth_deg, 2);
  const auto minutes = std::lround(*azimuth_deg * 60) % (360 * 60);
  return std::to_string(minutes / 60) + "\u00B0" + (minutes % 60 < 10 ? "0" : "") + std::to_string(minutes % 60) + "'";
}

std::string turn_words(const std::optional<double>& degrees, const reading::AzimuthStyle& style) {
  if (!degrees) return "-";
  const bool sixtieths = style.minutes || style.seconds;
  const auto minutes = std::lround(std::abs(*degrees) * 60);
  const std::string size = sixtieths ? std::to_string(minutes / 60) + "\u00B0" + (minutes % 60 < 10 ? "0" : "") +
                                           std::to_string(minutes % 60) + "'"
                                     : format_fixed(std::abs(*degrees), 2);
  const bool nothing = size.find_first_of("123456789") == std::string::npos;
  return (nothing ? "" : *degrees < 0 ? "-" : "+") + size;
}

reading::AzimuthStyle style_of(const Table& table, std::initializer_list<std::string_view> names) {
  for (const Row& row : table.rows)
    for (const std::string_view name : names)
      if (const auto text = table.cell(row, name)) {
        reading::TextRules rules;
        rules.decimal_mark = table.decimal_mark;
        if (const auto azimuth = reading::parse_azimuth(*text, reading::AzimuthUnit::deg, rules)) return azimuth->style;
      }
  return {};
}

Result<reading::TextRules> text_rules(const Table& table, const Parameters& parameters) {
  reading::TextRules rules;
  rules.decimal_mark = table.decimal_mark;
  if (const auto text = parameters.get("letters")) {
    auto letters = geodesy::parse_letters(*text);
    if (!letters) return letters.problem();
    rules.letter_o = letters->o;
  }
  return rules;
}

Result<double> azimuth_of(std::string_view text, std::string_view name, reading::AzimuthUnit unit,
                          const reading::TextRules& rules) {
  auto azimuth = reading::parse_azimuth(text, unit, rules);
  if (azimuth) return wrap_360(azimuth->degrees);
  Problem problem = azimuth.problem();
  problem.field = std::string(name);
  return problem;
}

Result<std::optional<lookup::Answer>> where(const field::Catalogue& catalogue, geodesy::Grids& grids,
                                            const Parameters& parameters, std::chrono::sys_days today) {
  const auto given = [&](std::string_view name) { return parameters.get(name).has_value(); };
  if (!given("place") && !given("lat") && !given("lon") && !given("date")) return std::optional<lookup::Answer>();
  auto query = lookup::parse_query(parameters, today);
  if (!query) return query.problem();
  // A notebook east of Greenwich may be a day ahead of UTC.
  if (query->date.earliest > today + std::chrono::days(1))
    return Problem{Code::date_future, "date", std::string(parameters.get("date").value_or("")),
                   "what was surveyed lies in the future", "Look the date up in the notebook"};
  auto answer = lookup::declination(catalogue, grids, *query);
  if (!answer) return answer.problem();
  return std::optional(*std::move(answer));
}

std::optional<Problem> needle_problem(const lookup::Answer& answer, const Parameters& parameters) {
  auto force = parse_yes(parameters.get("force_unusable").value_or(""), "force_unusable");
  if (!force) return force.problem();
  if (answer.field.needle != field::Needle::unusable || *force) return std::nullopt;
  return Problem{Code::needle_unusable,
                 "place",
                 {},
                 "the horizontal field is " + format_fixed(answer.field.elements.horizontal_nt, 0) +
                     " nT there and then, below 2000: a needle does not point reliably",
                 "Use the sun or a known line; force_unusable=yes works it all the same"};
}

std::string declination_words(const lookup::Answer& answer) {
  return declination_text(answer.field.elements.declination_deg) + " +/- " + format_fixed(answer.field.sigma_deg, 2) +
         " (" + answer.field.model->id + ")";
}

std::string where_json(const lookup::Answer& answer) {
  const Json out{{"declination_deg", answer.field.elements.declination_deg},
                 {"declination_text", declination_text(answer.field.elements.declination_deg)},
                 {"declination_sigma_deg", answer.field.sigma_deg},
                 {"declination_95_deg", answer.field.half_width_95_deg},
                 {"sigma_basis", answer.field.sigma_basis},
                 {"convergence_deg", answer.convergence ? Json(answer.convergence->deg) : Json()},
                 {"grid", answer.grid},
                 {"lat_deg", answer.query.place.lat_deg},
                 {"lon_deg", answer.query.place.lon_deg},
                 {"date", answer.query.date.iso},
                 {"model", answer.field.model->id}};
  const std::string text = dump(out);
  return text.substr(1, text.size() - 2);
}

std::optional<Problem> name_taken(const Table& table, const Added& added) {
  for (const auto& [name, value] : added)
    if (table.has(name))
      return Problem{Code::name_taken,
                     std::string(name),
                     {},
                     "a column has the name of one that is added",
                     "Rename it, or leave it out"};
  return std::nullopt;
}

std::string summary_json(const Answer& answer, const std::vector<Note>& notes) {
  Json codes = Json::array();
  for (const Note& note : notes) codes.push_back(note.code);
  return dump(Json{{"rows", answer.rows}, {"refused", answer.refused}, {"notes", codes}});
}

std::string summary_line(const Table& table, const std::vector<std::optional<Problem>>& refused, std::string_view one) {
  std::string lines;
  std::size_t count = 0;
  for (std::size_t i = 0; i < refused.size(); ++i) {
    if (!refused[i]) continue;
    const Row& row = table.rows[i];
    if (++count <= kLinesNamed) lines += (count > 1 ? ", " : " ") + std::to_string(row.line > 0 ? row.line : row.row);
  }
  std::string out = std::to_string(refused.size()) + " " + std::string(one) + (refused.size() == 1 ? "" : "s");
  if (count == 0) return out;
  const bool file = table.rows.front().line > 0;
  return out + ", " + std::to_string(count) + " refused: " + (file ? "line" : "row") + (count > 1 ? "s" : "") + lines +
         (count > kLinesNamed ? " and more" : "");
}

std::string refused_text(const Table& table, const std::vector<std::optional<Problem>>& refused) {
  std::string out;
  for (std::size_t i = 0; i < refused.size(); ++i) {
    if (!refused[i]) continue;
    const Row& row = table.rows[i];
    Problem shown = *refused[i];
    shown.value = printable(shown.value);
    out += "refused: " + (row.line > 0 ? "line " + std::to_string(row.line) : "row " + std::to_string(row.row)) + ": " +
           shown.text() + '\n';
  }
  return out;
}

}  // namespace agonic::desk
