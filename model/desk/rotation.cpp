// POST /v1/rotation: pairs of old and found directions, what they are turned by, and what the needle must have said.
#include "model/survey/rotation.hpp"

#include <array>
#include <cmath>

#include "model/desk/parts.hpp"
#include "model/survey/thresholds.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::desk {
namespace {

constexpr std::array<std::string_view, 1> kNeeded{"old"};
constexpr std::array<std::string_view, 4> kKnown{"old", "found", "offset", "length"};
constexpr double kWide = 1.959964;  // sigmas of a normal distribution that hold 95 %

struct Pair {
  double old_deg = 0;
  std::optional<double> found_deg;  // nothing: to be told
};

/// What the found directions are referred to, and by how much that differs from true north.
struct Found {
  bool known = false;    // their north was declared
  double to_true = 0;    // added to a found direction gives a true one
  double sigma_deg = 0;  // of it
  std::string words;     // "true north"
};

struct RotationSheet {
  Table table;
  std::vector<std::optional<Problem>> refused;
  std::vector<std::optional<Pair>> pairs;           // one a row
  std::vector<std::optional<std::size_t>> pair_of;  // of a row among those that were used
  reading::AzimuthStyle style;
  Found found;
  survey::Rotation rotation;
  std::optional<double> implied_deg, implied_sigma_deg;  // declination at the time of the old survey
  std::optional<lookup::Answer> model;                   // at the place and date of the old survey
  [[nodiscard]] std::optional<double> against_model() const {
    if (!implied_deg || !model) return std::nullopt;
    return wrap_180(*implied_deg - model->field.elements.declination_deg);
  }
  /// 95 % half-width of the difference.
  [[nodiscard]] double apart_95() const {
    return std::hypot(model->field.half_width_95_deg, kWide * implied_sigma_deg.value_or(0));
  }
};

Result<Pair> pair_of(const Table& table, const Row& row, reading::AzimuthUnit unit, const reading::TextRules& rules) {
  if (row.problem) return *row.problem;
  Pair pair;
  const auto old = table.cell(row, "old");
  if (!old)
    return Problem{Code::missing_value, "old", {}, "the old direction is missing", "Give it, or leave the row out"};
  auto azimuth = azimuth_of(*old, "old", unit, rules);
  if (!azimuth) return azimuth.problem();
  pair.old_deg = *azimuth;
  const auto found = table.cell(row, "found"), offset = table.cell(row, "offset"), length = table.cell(row, "length");
  if (found && offset)
    return Problem{Code::contradiction, "offset", std::string(*offset), "found and offset are both given",
                   "Give the direction that was found, or how far the rerun line missed the corner"};
  if (found) {
    auto at = azimuth_of(*found, "found", unit, rules);
    if (!at) return at.problem();
    pair.found_deg = *at;
  }
  if (offset) {
    if (!length)
      return Problem{
          Code::missing_value, "length", {}, "an offset needs the length of the line", "Give it in the same unit"};
    auto aside = number(table, *offset, "offset");
    auto along = number(table, *length, "length");
    if (!aside) return aside.problem();
    if (!along) return along.problem();
    if (!(*along > 0))
      return Problem{Code::out_of_range, "length", std::string(*length), "a length lies above 0",
                     "Give it in the unit of the offset"};
    pair.found_deg = wrap_360(pair.old_deg + survey::turn_of_offset(*aside, *along));
  }
  return pair;
}

// The north of the found directions: true, grid with the place's convergence, or the needle with its declination.
Result<Found> read_found(const field::Catalogue& catalogue, geodesy::Grids& grids, const Parameters& parameters,
                         std::chrono::sys_days today) {
  Found out;
  const std::string north = lower(parameters.get("found_reference").value_or(""));
  const auto declared = parameters.get("found_declination"), date = parameters.get("found_date");
  if (north.empty()) {
    if (declared || date)
      return Problem{Code::north_reference_missing,
                     "found_reference",
                     {},
                     "a declination of the found directions has a meaning for the needle only",
                     "Say found_reference=magnetic"};
    return out;
  }
  out.known = true;
  if (north == "true") {
    out.words = "true north";
    return out;
  }
  if (north != "magnetic" && north != "grid")
    return Problem{Code::unknown_name, "found_reference", north, "this north is not known",
                   "Give true, grid or magnetic"};
  if (declared) {
    if (north == "grid" || date)
      return Problem{Code::contradiction, "found_declination", std::string(*declared),
                     north == "grid" ? "grid directions have no declination" : "found_date is given as well",
                     "Leave one out"};
    DeclinationReading how{"found_declination"};
    if (parameters.writer == Writer::person) how.unsigned_means = UnsignedMeans::refused;
    auto value = parse_declination(*declared, how);
    if (!value) return value.problem();
    out.to_true = *value;
    out.words = "the needle, at " + declination_text(*value);
    return out;
  }
  Parameters now = parameters;
  if (date)
    now.values["date"] = std::string(*date);
  else if (north == "magnetic")
    return Problem{Code::date_missing,
                   "found_date",
                   {},
                   "when were the lines found? The needle moves",
                   "Give found_date with the place, or found_declination"};
  now.values.erase("model");
  auto answer = where(catalogue, grids, now, today);
  if (!answer) {
    if (answer.problem().field == "date" && date) answer.problem().field = "found_date";
    return answer.problem();
  }
  if (!answer->has_value())
    return Problem{Code::missing_value, "place", {}, "the place is missing", "Give place, or lat and lon"};
  const lookup::Answer& at = **answer;
  if (north == "magnetic")
    if (auto problem = needle_problem(at, parameters)) return *problem;
  if (north == "grid") {
    out.to_true = at.convergence->deg;
    out.words = "grid north (" + at.grid + "), convergence " + declination_text(at.convergence->deg);
  } else {
    out.to_true = at.field.elements.declination_deg;
    out.sigma_deg = at.field.sigma_deg;
    out.words = "the needle, at " + declination_words(at) + " of " + at.query.date.iso;
  }
  return out;
}

std::vector<Note> notes_of(const RotationSheet& s) {
  std::vector<Note> notes;
  const auto two = [](double v) { return format_fixed(v, 2); };
  const std::size_t n = s.rotation.pairs.size();
  if (n < survey::threshold::kPairsAsked)
    notes.push_back({"pairs-few", "There " + std::string(n == 1 ? "is one pair" : "are two pairs") +
                                      ": three or more are asked for, so that they can check each other."});
  std::string outliers;
  for (std::size_t i = 0; i < s.table.rows.size(); ++i)
    if (s.pair_of[i] && s.rotation.pairs[*s.pair_of[i]].outlier)
      outliers += (outliers.empty() ? "" : ", ") + std::to_string(s.table.rows[i].row) + " (" +
                  turn_words(s.rotation.pairs[*s.pair_of[i]].rotation_deg, s.style) + ")";
  if (!outliers.empty())
    notes.push_back({"pair-outlying", "Far from the others and left out of the mean: row " + outliers +
                                          ". A misread line, a line of another survey, or not the same line?"});
  if (s.rotation.spread_deg && *s.rotation.spread_deg > survey::threshold::kRotationSpreadDeg)
    notes.push_back({"rotation-spread", "The pairs scatter by " + two(*s.rotation.spread_deg) +
                                            " (1-sigma), more than " + two(survey::threshold::kRotationSpreadDeg) +
                                            ": local attraction along the old lines, or several surveys mixed."});
  if (!s.implied_deg)
    notes.push_back({"found-north-unsaid",
                     "The rotation stands by itself. With found_reference (true, grid or "
                     "magnetic) it also tells the declination of the old survey."});
  if (const auto apart = s.against_model()) {
    const double d = s.model->field.elements.declination_deg, width = s.apart_95();
    if (std::abs(*apart) > width) {
      const bool sign = std::abs(wrap_180(*s.implied_deg + d)) <= width && std::abs(d) > width;
      const bool unset = std::abs(*s.implied_deg) <= width && std::abs(d) > width;
      notes.push_back({"rotation-against-model",
                       "The lines imply " + declination_text(*s.implied_deg) + ", the model says " +
                           declination_text(d) + ": " + two(std::abs(*apart)) + " apart, more than " + two(width) +
                           " (95 %)." +
                           (sign    ? " It is the model's with the other sign: was it set off the wrong way?"
                            : unset ? " The old directions look true already: was the variation set off?"
                                    : " Another date, local rock, or a needle with an error of its own?")});
    }
    for (std::size_t i = 0; i < s.model->warnings.size(); ++i)
      notes.push_back({s.model->warning_codes[i], s.model->warnings[i]});
  }
  notes.push_back({"boundaries",
                   "Old corners and monuments come before any needle: retracing a boundary is a matter "
                   "of local rules and licensed surveyors."});
  return notes;
}

std::vector<Added> added_of(const RotationSheet& s) {
  std::vector<Added> out;
  for (std::size_t i = 0; i < s.table.rows.size(); ++i) {
    const auto* finding = s.pair_of[i] ? &s.rotation.pairs[*s.pair_of[i]] : nullptr;
    const auto& pair = s.pairs[i];
    const bool told = pair && !pair->found_deg;
    std::vector<std::string> checks;
    if (s.refused[i]) checks.emplace_back(word(s.refused[i]->code));
    if (finding && finding->outlier) checks.emplace_back("pair-outlying");
    out.push_back({{"rotation", finding ? Value(finding->rotation_deg) : Value()},
                   {"residual", finding ? Value(finding->residual_deg) : Value()},
                   {"azimuth_expected", pair ? Value(wrap_360(pair->old_deg + s.rotation.rotation_deg)) : Value()},
                   {"status", std::string(s.refused[i]       ? "refused"
                                          : told             ? "told"
                                          : finding->outlier ? "left-out"
                                                             : "used")},
                   {"checks", std::move(checks)},
                   {"remark", s.refused[i] ? s.refused[i]->text() : std::string()}});
  }
  return out;
}

std::string text_of(const RotationSheet& s, const std::vector<Note>& notes) {
  const auto turn = [&](const std::optional<double>& t) { return turn_words(t, s.style); };
  std::string out = "Rotation " + turn(s.rotation.rotation_deg) + ": add it to an old direction. From " +
                    std::to_string(s.rotation.used) + " of " + std::to_string(s.rotation.pairs.size()) +
                    (s.rotation.pairs.size() == 1 ? " pair" : " pairs");
  if (s.rotation.spread_deg)
    out += "; one pair scatters by " + format_fixed(*s.rotation.spread_deg, 2) + ", their mean by " +
           format_fixed(*s.rotation.standard_error_deg, 2) + " (1-sigma)";
  out += ".\n";
  if (s.found.known) out += "The found directions are from " + s.found.words + ".\n";
  if (s.implied_deg)
    out += "Declination at the time of the old survey: " + declination_text(*s.implied_deg) +
           (s.implied_sigma_deg ? " +/- " + format_fixed(*s.implied_sigma_deg, 2) : "") + ".\n";
  if (s.model)
    out += "By the model, there and then:              " + declination_words(*s.model) + ", 95 % within " +
           format_fixed(s.model->field.half_width_95_deg, 2) + ".\n";
  if (const auto apart = s.against_model())
    out += "They are " + format_fixed(std::abs(*apart), 2) + " apart; up to " + format_fixed(s.apart_95(), 2) +
           " is no surprise (95 %).\n";
  TextTable table(1);
  table.add({"row", "old", "found", "rotation", "residual", "expected", ""});
  const auto added = added_of(s);
  for (std::size_t i = 0; i < s.table.rows.size(); ++i) {
    const auto& pair = s.pairs[i];
    const auto* finding = s.pair_of[i] ? &s.rotation.pairs[*s.pair_of[i]] : nullptr;
    const auto azimuth = [&](const std::optional<double>& a) { return azimuth_words(a, s.style); };
    table.add({std::to_string(s.table.rows[i].row), pair ? azimuth(pair->old_deg) : "-",
               pair ? azimuth(pair->found_deg) : "-",
               turn(finding ? std::optional(finding->rotation_deg) : std::nullopt),
               turn(finding ? std::optional(finding->residual_deg) : std::nullopt),
               pair ? azimuth(wrap_360(pair->old_deg + s.rotation.rotation_deg)) : "-",
               s.refused[i]                             ? "refused"
               : finding != nullptr && finding->outlier ? "left out"
                                                        : ""});
  }
  out += "\n" + table.text() + "\n" + refused_text(s.table, s.refused) + notes_text(notes);
  return out;
}

std::string json_of(const RotationSheet& s, const std::vector<Note>& notes) {
  const auto& r = s.rotation;
  return "{\"rotation_deg\":" + json_number(r.rotation_deg) + ",\"spread_deg\":" + json_number(r.spread_deg) +
         ",\"standard_error_deg\":" + json_number(r.standard_error_deg) + ",\"pairs_used\":" + std::to_string(r.used) +
         ",\"implied_declination_deg\":" + json_number(s.implied_deg) +
         ",\"implied_declination_text\":" + (s.implied_deg ? json_text(declination_text(*s.implied_deg)) : "null") +
         ",\"implied_declination_sigma_deg\":" + json_number(s.implied_sigma_deg) +
         ",\"model\":" + (s.model ? "{" + where_json(*s.model) + "}" : "null") +
         ",\"against_model_deg\":" + json_number(s.against_model()) +
         ",\"against_model_95_deg\":" + (s.against_model() ? json_number(s.apart_95()) : "null") +
         ",\"pairs\":" + rows_json(s.table, added_of(s)) + ",\"notes\":" + notes_json(notes) + "}";
}

}  // namespace

Result<Answer> rotation(const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request) {
  RotationSheet sheet;
  Parameters parameters = request.parameters;
  auto table = read_table(request, {"pairs", kNeeded, kKnown}, parameters);
  if (!table) return table.problem();
  sheet.table = *std::move(table);
  if (auto problem = parameters.unknown({"found_reference", "found_declination", "found_date", "azimuth_unit", "place",
                                         "lat", "lon", "height_m", "force_unusable", "date", "model", "crs", "letters",
                                         "date_order", "decimal", "delimiter"}))
    return *problem;
  auto rules = text_rules(sheet.table, parameters);
  auto unit = reading::parse_azimuth_unit(parameters.get("azimuth_unit").value_or(""));
  auto found = read_found(catalogue, grids, parameters, request.today);
  if (!rules) return rules.problem();
  if (!unit) return unit.problem();
  if (!found) return found.problem();
  sheet.found = *std::move(found);
  if (parameters.get("date")) {
    auto model = where(catalogue, grids, parameters, request.today);
    if (!model) return model.problem();
    sheet.model = *std::move(model);
  }
  sheet.style = style_of(sheet.table, {"old", "found"});

  std::vector<survey::LinePair> pairs;
  for (const Row& row : sheet.table.rows) {
    auto pair = pair_of(sheet.table, row, *unit, *rules);
    sheet.refused.push_back(pair ? std::nullopt : std::optional(pair.problem()));
    sheet.pairs.push_back(pair ? std::optional(*pair) : std::nullopt);
    sheet.pair_of.push_back(std::nullopt);
    if (!pair || !pair->found_deg) continue;
    sheet.pair_of.back() = pairs.size();
    pairs.push_back({pair->old_deg, *pair->found_deg});
  }
  auto rotated = survey::rotation_of(pairs);
  if (!rotated) {
    Problem problem = rotated.problem();
    for (const auto& refused : sheet.refused)
      if (refused && pairs.empty()) problem.message = "no pair could be read; the first one because " + refused->text();
    return problem;
  }
  sheet.rotation = *std::move(rotated);
  if (sheet.found.known) {
    sheet.implied_deg = wrap_180(sheet.rotation.rotation_deg + sheet.found.to_true);
    if (sheet.rotation.standard_error_deg)
      sheet.implied_sigma_deg = std::hypot(*sheet.rotation.standard_error_deg, sheet.found.sigma_deg);
  }
  const std::vector<Note> notes = notes_of(sheet);
  const std::vector<Added> added = added_of(sheet);
  if (auto problem = name_taken(sheet.table, added.front())) return *problem;
  Answer out;
  out.rows = sheet.table.rows.size();
  for (const auto& refused : sheet.refused) out.refused += refused ? 1U : 0U;
  out.body = request.out == Format::csv    ? rows_csv(sheet.table, added)
             : request.out == Format::json ? json_of(sheet, notes)
                                           : text_of(sheet, notes);
  out.summary_json = summary_json(out, notes);
  out.summary_line = summary_line(sheet.table, sheet.refused, "line");
  return out;
}

}  // namespace agonic::desk
