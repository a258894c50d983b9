// From the document to the sheet: stops, samples, settings, zones.
#include <algorithm>
#include <cmath>

#include "model/route/parts.hpp"
#include "model/units/number.hpp"

namespace agonic::route {
namespace {

using field::Needle;

// With legs: a step of the declination that a tenth of the tolerance sees, but no finer than the bend.
constexpr double kStepOfTolerance = 0.1;

// The stops that read well and that a model answers for; the others with their reason.
std::vector<field::FieldAnswer> read_stops(Sheet& sheet, const field::Catalogue& catalogue,
                                           const Parameters& parameters, std::chrono::sys_days today) {
  std::vector<Stop> readable;
  for (std::size_t i = 0; i < sheet.table.rows.size(); ++i) {
    auto stop = stop_of(sheet.table, i, parameters, today);
    sheet.refused.push_back(stop ? std::nullopt : std::optional(stop.problem()));
    if (stop) readable.push_back(*std::move(stop));
  }
  std::vector<field::Spot> spots;
  spots.reserve(readable.size());
  for (const Stop& stop : readable) spots.push_back(stop.spot);
  auto answers = field::field_answers(catalogue, sheet.rules.model, spots);
  std::vector<field::FieldAnswer> fields;
  for (std::size_t i = 0; i < readable.size(); ++i) {
    if (!answers[i]) {
      Problem problem = answers[i].problem();
      if (problem.code == Code::date_outside_models) problem.field = "date", problem.value = readable[i].date.iso;
      sheet.refused[readable[i].row] = std::move(problem);
      continue;
    }
    fields.push_back(*std::move(answers[i]));
    sheet.stops.push_back(std::move(readable[i]));
  }
  return fields;
}

// Settings go by pieces between neighbouring samples, or by the stops alone.
void plan_settings(Sheet& sheet) {
  const auto& samples = sheet.samples;
  const auto d = [&](std::size_t i) { return samples[i].field.elements.declination_deg; };
  std::vector<Piece> pieces;
  std::vector<std::size_t> begins, ends;  // samples of each piece
  std::vector<double> all;
  std::vector<std::size_t> where;
  const bool between = sheet.rules.legs && samples.size() > 1;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (!sheet.used(i)) continue;
    all.push_back(d(i));
    where.push_back(i);
    const bool ahead = between && i + 1 < samples.size() && sheet.used(i + 1);
    if (between && !ahead && i > 0 && sheet.used(i - 1)) continue;  // the end of the piece before
    const std::size_t j = ahead ? i + 1 : i;
    pieces.push_back({d(i), d(j)});
    begins.push_back(i);
    ends.push_back(j);
  }
  if (all.empty()) return;
  sheet.one = one_setting(sheet.rules.circle, all);
  sheet.one_at = where[sheet.one->at];
  for (Stretch& stretch : fewest_settings(sheet.rules.circle, sheet.rules.tolerance_deg, pieces))
    sheet.settings.push_back({stretch, begins[stretch.first], ends[stretch.last]});
  for (std::size_t s = 0; s < sheet.stops.size(); ++s) {
    std::optional<std::size_t> mine;
    const std::size_t at = sheet.sample_of_stop[s];
    // Where two meet, the later one: there the circle is set anew.
    for (std::size_t k = 0; k < sheet.settings.size(); ++k)
      if (sheet.used(at) && sheet.settings[k].first <= at && at <= sheet.settings[k].last) mine = k;
    sheet.setting_of_stop.push_back(mine);
  }
}

void find_zones(Sheet& sheet) {
  for (std::size_t i = 0; i < sheet.samples.size(); ++i) {
    const Needle needle = sheet.samples[i].field.needle;
    if (needle == Needle::usable) continue;
    if (!sheet.zones.empty() && sheet.zones.back().last + 1 == i && sheet.zones.back().needle == needle)
      sheet.zones.back().last = i;
    else
      sheet.zones.push_back({needle, i, i});
  }
}

void find_ranges(Sheet& sheet) {
  std::vector<double> all;
  all.reserve(sheet.samples.size());
  bool first = true;
  for (const Sample& sample : sheet.samples) {
    const auto& e = sample.field.elements;
    all.push_back(e.declination_deg);
    sheet.inclination_low_deg = first ? e.inclination_deg : std::min(sheet.inclination_low_deg, e.inclination_deg);
    sheet.inclination_high_deg = first ? e.inclination_deg : std::max(sheet.inclination_high_deg, e.inclination_deg);
    sheet.sigma_deg = std::max(sheet.sigma_deg, sample.field.sigma_deg);
    sheet.half_width_95_deg = std::max(sheet.half_width_95_deg, sample.field.half_width_95_deg);
    first = false;
  }
  const OneSetting arc = one_setting(sheet.rules.circle, all);
  sheet.low_deg = arc.low_deg;
  sheet.high_deg = arc.high_deg;
}

std::string summary_of(const Sheet& sheet, const Answer& answer) {
  std::string codes;
  for (const desk::Note& note : sheet.notes) codes += (codes.empty() ? "" : ",") + desk::json_text(note.code);
  return "{\"stops\":" + std::to_string(answer.stops) + ",\"refused\":" + std::to_string(answer.refused) +
         ",\"settings\":" + std::to_string(sheet.settings.size()) + ",\"notes\":[" + codes + "]}";
}

}  // namespace

Result<Sheet> sheet_of(const field::Catalogue& catalogue, const Request& request) {
  if (request.body.size() > kMostBytes)
    return Problem{Code::too_large,
                   {},
                   {},
                   "the document is longer than " + std::to_string(kMostBytes) + " bytes",
                   "Give it in parts"};
  Sheet sheet;
  Parameters parameters = request.parameters;
  auto table = table_of(request, parameters);
  if (!table) return table.problem();
  sheet.table = *std::move(table);
  auto rules = rules_of(parameters);
  if (!rules) return rules.problem();
  sheet.rules = *rules;
  if (sheet.rules.model != "auto" && catalogue.find(sheet.rules.model) == nullptr)
    return catalogue.choose(sheet.rules.model, catalogue.last_year()).problem();
  const auto fields = read_stops(sheet, catalogue, parameters, request.today);
  if (sheet.stops.empty()) {
    Problem problem = *sheet.refused.front();
    problem.message = "no stop could be read; the first one because " + problem.message;
    return problem;
  }
  std::vector<field::Spot> spots;
  for (const Stop& stop : sheet.stops) spots.push_back(stop.spot);
  const double step = std::max(kBendDeg, sheet.rules.tolerance_deg * kStepOfTolerance);
  auto along = samples(catalogue, sheet.rules.model, spots, fields, sheet.rules.legs, step,
                       sheet.rules.circle.graduation_deg, sheet.rules.tolerance_deg);
  if (!along) return along.problem();
  sheet.samples = *std::move(along);
  sheet.sample_of_stop.resize(sheet.stops.size());
  for (std::size_t i = 0; i < sheet.samples.size(); ++i)
    if (sheet.samples[i].stop) sheet.sample_of_stop[*sheet.samples[i].stop] = i;
  find_ranges(sheet);
  find_zones(sheet);
  plan_settings(sheet);
  if (sheet.setting_of_stop.empty()) sheet.setting_of_stop.resize(sheet.stops.size());
  add_notes(sheet);
  return sheet;
}

std::string Sheet::place_words(std::size_t sample, bool with_date) const {
  const Sample& at = samples[sample];
  std::string out;
  if (at.stop)
    out = stops[*at.stop].label;
  else
    out = "km " + format_fixed(at.km, 1) + " (" + format_fixed(at.spot.lat_deg, 4) + " " +
          format_fixed(at.spot.lon_deg, 4) + ")";
  if (with_date) out += ", " + (at.stop ? stops[*at.stop].date.iso : date_of_year(at.spot.decimal_year));
  return out;
}

std::string Sheet::models() const {
  std::vector<std::string> seen;
  for (const Sample& sample : samples)
    if (std::find(seen.begin(), seen.end(), sample.field.model->id) == seen.end())
      seen.push_back(sample.field.model->id);
  std::string out;
  for (const std::string& id : seen) out += (out.empty() ? "" : ", ") + id;
  return out;
}

std::string date_of_year(double decimal_year) { return date_of_decimal_year(decimal_year).iso.substr(0, 10); }

Result<Answer> work(const field::Catalogue& catalogue, const Request& request) {
  auto sheet = sheet_of(catalogue, request);
  if (!sheet) return sheet.problem();
  const auto added = added_of(*sheet);
  if (auto problem = desk::name_taken(sheet->table, added.front())) return *problem;
  Answer answer;
  answer.stops = sheet->table.rows.size();
  answer.refused = answer.stops - sheet->stops.size();
  switch (request.out) {
    case FormatOut::csv:
      answer.body = desk::rows_csv(sheet->table, added);
      break;
    case FormatOut::json:
      answer.body = json_of(*sheet, added);
      break;
    case FormatOut::text:
      answer.body = text_of(*sheet);
      break;
    case FormatOut::svg: {
      auto svg = profile_svg(*sheet);
      if (!svg) return svg.problem();
      answer.body = *std::move(svg);
      break;
    }
  }
  answer.summary_json = summary_of(*sheet, answer);
  answer.summary_line = desk::summary_line(sheet->table, sheet->refused, "stop");
  return answer;
}

}  // namespace agonic::route
