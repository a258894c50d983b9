#include "model/review/gather.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "model/reading/correction.hpp"
#include "model/reading/plane.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

using reading::NorthReference;

// Columns that pass through, by the names people give them. The order is that of `wanted`.
enum Passed {
  azimuth,
  date,
  instrument,
  compass,
  observer,
  sheet,
  line,
  structure,
  station,
  id,
  strike,
  dip_direction
};
constexpr std::array kPassed{"azimuth", "date",      "instrument", "compass", "observer", "sheet",
                             "line",    "structure", "station",    "id",      "strike",   "dip_direction"};

// Decimals of a plain number; -1 for anything else.
signed char decimals_of(std::string_view text) {
  text = trim(text);
  const auto mark = text.find_first_of(".,");
  if (text.empty() || text.find_first_not_of("0123456789.,") != std::string_view::npos) return -1;
  if (mark == std::string_view::npos) return 0;
  if (text.find_first_of(".,", mark + 1) != std::string_view::npos) return -1;
  return static_cast<signed char>(std::min<std::size_t>(text.size() - mark - 1, 9));
}

bool is_year(std::string_view text) {
  text = trim(text);
  return text.size() == 4 && text.find_first_not_of("0123456789") == std::string_view::npos;
}

double number_of(std::string_view text) {
  const auto plain = parse_number(trim(text));
  return plain ? *plain : parse_number(trim(text), ',').value_or(Entry::kNone);
}

// "22 E", "19.5 E", "19.55 E"
std::string side(double deg) {
  for (const int decimals : {0, 1})
    if (std::abs(deg * std::pow(10, decimals) - std::round(deg * std::pow(10, decimals))) < 1e-9)
      return declination_side_text(deg, decimals);
  return declination_side_text(deg);
}

std::string setting_words(const reading::Reading& r) {
  switch (r.north) {
    case NorthReference::circle:
      return r.set.deg == 0 ? "circle not set" : "circle set to " + side(r.set.deg);
    case NorthReference::magnetic:
      return "magnetic";
    case NorthReference::grid:
      return r.applied_grid_magnetic ? "grid, " + side(r.applied_grid_magnetic->deg) + " applied from the needle"
                                     : "grid";
    case NorthReference::true_north:
      if (!r.applied) return "true as given";
      return r.applied->deg == 0 ? "true, 0 applied" : "true, " + side(r.applied->deg) + " applied";
    case NorthReference::unknown:
      break;
  }
  return "north not said";
}

// Where the plane strikes from true north, by the right-hand rule where its side is known.
void fill_strike(const reading::Outcome& outcome, Entry& entry) {
  if (const auto& toward = outcome.number(reading::Added::dip_direction_true)) {
    entry.strike_true = wrap_360(*toward - 90);
  } else {
    entry.strike_true = entry.azimuth_true;
    entry.axis = true;
  }
}

void fill(const exchange::WatchedRow& row, Entry& entry) {
  const reading::Reading& r = *row.reading;
  const reading::Outcome& outcome = *row.outcome;
  entry.read = true;
  entry.kind = r.kind;
  entry.north = r.north;
  entry.convention = r.convention;
  entry.dip_letter = r.dip_toward_deg.has_value();
  entry.quadrant = r.azimuth.style.quadrant;
  entry.as_read = r.azimuth.degrees;
  if (r.dip_deg) entry.dip = *r.dip_deg;
  if (r.place) {
    entry.lat = r.place->lat_deg;
    entry.lon = r.place->lon_deg;
    entry.notation = r.place->notation;
  }
  if (r.date) {
    entry.year = r.date->decimal_year;
    entry.day = r.date->day;
    entry.first_of_january = r.date->first_of_january;
  }
  if (r.north == NorthReference::circle) entry.set = r.set.deg;
  if (r.applied) entry.applied = r.applied->deg;
  if (r.site) entry.observed = r.site->deg;
  if (row.around != nullptr && row.around->field) {
    entry.declination = row.around->field->elements.declination_deg;
    entry.declination_sigma = row.around->field->sigma_deg;
  }
  if (outcome.status == reading::Status::refused) return;
  const auto take = [&](reading::Added column, double& into) {
    if (const auto& value = outcome.number(column)) into = *value;
  };
  take(reading::Added::azimuth_true, entry.azimuth_true);
  take(reading::Added::azimuth_sigma, entry.azimuth_sigma);
  take(reading::Added::correction, entry.correction);
  if (r.kind == reading::Kind::plane) fill_strike(outcome, entry);
  for (const std::string_view code : outcome.checks)
    for (const reading::CheckInfo& check : reading::all_checks())
      if (check.code == code) entry.checks.add(check.check);
}

}  // namespace

NameId Names::id(std::string_view text) {
  const auto [at, fresh] = ids_.emplace(std::string(text), static_cast<NameId>(texts_.size()));
  if (fresh) texts_.emplace_back(text);
  return at->second;
}

Gatherer::Gatherer(const std::string& group_by, std::string by_default)
    : wanted_(kPassed.begin(), kPassed.end()), instrument_(std::move(by_default)) {
  if (!group_by.empty()) wanted_.push_back(group_by);
  book_.factor_names = {"instrument", "observer", "year", "sheet", "setting", group_by, "instrument", "observer"};
}

void Gatherer::place_in_groups(const exchange::WatchedRow& row, Entry& entry) {
  const auto passed = [&](std::size_t which) { return trim(row.passed[which]); };
  const auto put = [&](Factor factor, std::string_view name) {
    entry.group[static_cast<std::size_t>(factor)] = book_.names.id(name);
  };
  std::string_view tool = passed(instrument);
  if (tool.empty()) tool = passed(compass);
  if (tool.empty()) tool = instrument_;
  put(Factor::instrument, tool);
  put(Factor::observer, passed(observer));
  put(Factor::sheet, passed(sheet));
  if (wanted_.size() > kPassed.size()) {
    put(Factor::custom, passed(kPassed.size()));
    group_seen_ |= !passed(kPassed.size()).empty();
  }
  std::string year;
  if (has(entry.year)) year = std::to_string(static_cast<int>(std::chrono::year_month_day(entry.day).year()));
  put(Factor::year, year);
  if (entry.read) put(Factor::setting, setting_words(*row.reading));
  if (!year.empty() && !tool.empty()) put(Factor::instrument_year, std::string(tool) + " in " + year);
  if (!year.empty() && !passed(observer).empty())
    put(Factor::observer_year, std::string(passed(observer)) + " in " + year);
  for (const Passed which : {line, structure, station, id}) {
    if (passed(which).empty()) continue;
    // The name of a column goes in front: line 7 and station 7 are two things.
    entry.known_as = book_.names.id(std::string(kPassed[which]) + " " + std::string(passed(which)));
    entry.known_by_id = which == id || which == station;
    break;
  }
}

void Gatherer::row(const exchange::WatchedRow& row) {
  Entry& entry = book_.entries.emplace_back();
  entry.row = row.row;
  entry.line = row.line;
  book_.lines |= row.line > 0;
  entry.status = row.outcome->status;
  entry.digest = std::hash<std::string_view>()(row.raw);
  entry.decimals = decimals_of(row.passed[azimuth]);
  entry.year_only = is_year(row.passed[date]);
  entry.other_strike = number_of(row.passed[strike]);
  entry.other_dip_direction = number_of(row.passed[dip_direction]);
  if (row.reading != nullptr) fill(row, entry);
  place_in_groups(row, entry);
  switch (entry.status) {
    case reading::Status::corrected:
      ++book_.corrected;
      break;
    case reading::Status::unchanged:
      ++book_.unchanged;
      break;
    case reading::Status::refused: {
      ++book_.refused;
      const Problem& problem = *row.outcome->problem;
      entry.refused_for = problem.code;
      const auto known = std::find_if(book_.first_problem.begin(), book_.first_problem.end(),
                                      [&](const auto& p) { return p.first == problem.code; });
      if (known == book_.first_problem.end()) book_.first_problem.emplace_back(problem.code, problem);
      break;
    }
  }
}

}  // namespace agonic::review
