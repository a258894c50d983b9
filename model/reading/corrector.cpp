#include "model/reading/corrector.hpp"

#include <algorithm>
#include <bit>
#include <cstring>

#include "model/field/declination.hpp"
#include "model/geodesy/grid.hpp"
#include "model/reading/correction.hpp"
#include "model/reading/read_cells.hpp"
#include "model/reading/read_row.hpp"
#include "model/reading/remark.hpp"

namespace agonic::reading {

std::string_view word(Status status) noexcept {
  switch (status) {
    case Status::corrected:
      return "corrected";
    case Status::unchanged:
      return "unchanged";
    case Status::refused:
      return "refused";
  }
  return "refused";
}

void Outcome::clear() {
  status = Status::refused;
  numbers.fill(std::nullopt);
  date_used.clear();
  model.clear();
  remark.clear();
  azimuth_true_text.clear();
  checks.clear();
  problem.reset();
}

void refuse(Problem problem, Outcome& out) {
  out.checks.push_back(agonic::word(problem.code));
  out.remark = problem.text();
  out.problem = std::move(problem);
}

Outcome refused(Problem problem) {
  Outcome out;
  refuse(std::move(problem), out);
  return out;
}

namespace {

// The grids around a reading, or why a grid that was asked for by name cannot serve.
std::optional<Problem> find_grids(geodesy::Grids& grids, const Reading& reading, Surroundings& around) {
  if (!reading.place) return std::nullopt;
  const auto& place = *reading.place;
  const bool grid_row = reading.north == NorthReference::grid;
  if (grid_row) {
    auto source = grids.at(reading.crs, place.lat_deg, place.lon_deg);
    if (!source) return source.problem();
    around.source_grid = *std::move(source);
  }
  const std::string& named = !reading.target_crs.empty() ? reading.target_crs : reading.crs;
  if (grid_row && reading.target_crs.empty()) {
    around.output_grid = around.source_grid;
    return std::nullopt;
  }
  auto output = grids.at(named.empty() ? "utm" : named, place.lat_deg, place.lon_deg);
  if (output)
    around.output_grid = *std::move(output);
  else if (!named.empty()) {
    Problem problem = output.problem();
    problem.field = reading.target_crs.empty() ? "crs" : "target_crs";
    return problem;
  }
  return std::nullopt;
}

Problem with_field(Problem problem, std::string_view field, std::string_view value) {
  problem.field = field;
  if (problem.value.empty()) problem.value = value;
  return problem;
}

constexpr std::size_t kNone = static_cast<std::size_t>(-1);

// What the rows of a chunk that agree in everything but the measured share.
struct Station {
  std::string key;  // the cells it was read from
  Reading reading;  // its measured part is that of the row at hand
  std::size_t spot = kNone, target = kNone;
  Surroundings around;
  std::optional<Problem> problem;  // of field or grids
  Phrases terms;
};

// The cells that the circumstances hang on, told apart without doubt: column, state, length, text.
constexpr std::size_t kHead = 6;

template <class Do>
void each_key_cell(const Cells& row, Do&& act) {
  for (ColumnSet rest = row.touched() & kCircumstances; rest != 0; rest &= rest - 1) {
    const auto column = static_cast<Column>(std::countr_zero(rest));
    const Cell& cell = row[column];
    std::array<char, kHead> head{static_cast<char>(column), static_cast<char>(cell.state)};
    const auto length = static_cast<std::uint32_t>(cell.text.size());
    std::memcpy(&head[2], &length, sizeof length);
    if (!act(head, cell.text)) return;
  }
}

void key_of(const Cells& row, std::string& key) {
  key.clear();
  each_key_cell(row, [&](const std::array<char, kHead>& head, std::string_view text) {
    key.append(head.data(), head.size()).append(text);
    return true;
  });
}

// Is this the key of the row? Without making it.
bool has_key(const Cells& row, std::string_view key) {
  bool same = true;
  each_key_cell(row, [&](const std::array<char, kHead>& head, std::string_view text) {
    same = key.size() >= kHead + text.size() && std::memcmp(key.data(), head.data(), kHead) == 0 &&
           key.substr(kHead, text.size()) == text;
    if (same) key.remove_prefix(kHead + text.size());
    return same;
  });
  return same && key.empty();
}

// Stations by key: open addressing, emptied with every chunk.
class StationTable {
 public:
  StationTable() : slots_(kSlots, 0) {}
  /// The slot of this key, or the free one where it belongs. Grows before it gets crowded.
  std::uint32_t& slot(const std::string& key, const std::vector<Station>& stations) {
    if (stations.size() * 2 > slots_.size()) grow(stations);
    return find(key, stations);
  }
  void clear() { std::fill(slots_.begin(), slots_.end(), 0); }

 private:
  static constexpr std::size_t kSlots = 4096;
  std::uint32_t& find(const std::string& key, const std::vector<Station>& stations) {
    std::size_t at = std::hash<std::string>()(key) & (slots_.size() - 1);
    while (slots_[at] != 0 && stations[slots_[at] - 1].key != key) at = (at + 1) & (slots_.size() - 1);
    return slots_[at];
  }
  void grow(const std::vector<Station>& stations) {
    const std::size_t size = slots_.size() * 2;
    std::vector<std::uint32_t> old(size, 0);
    old.swap(slots_);
    for (const std::uint32_t number : old)
      if (number != 0) find(stations[number - 1].key, stations) = number;
  }
  std::vector<std::uint32_t> slots_;  // number of the station from 1; 0: free
};

struct Pending {
  std::size_t station = kNone;  // else `problem`
  std::size_t problem = 0;
  Measured measured;
};

}  // namespace

struct Corrector::Inside {
  Inside(const field::Catalogue& models, Rules given)
      : catalogue(models), rules(std::move(given)), defaults(defaulted(rules)) {}

  const field::Catalogue& catalogue;
  const Rules rules;
  const ColumnSet defaults;
  geodesy::Grids grids;

  std::vector<Station> stations;
  StationTable table;
  std::vector<Pending> rows;
  std::vector<Problem> problems;
  std::size_t taken = 0;
  std::size_t last_station = kNone;
  std::size_t shown = kNone;  // station of the outcome taken last
  std::string key;
  std::vector<field::Spot> spots;
  Outcome outcome;
  Text words;

  /// A chunk whose outcomes were all taken makes room for the next; until then the last one can be looked at.
  void empty_if_taken() {
    if (taken == 0 || taken < rows.size()) return;
    stations.clear();
    table.clear();
    rows.clear();
    problems.clear();
    spots.clear();
    taken = 0;
    last_station = shown = kNone;
  }

  void refuse_row(Problem problem) {
    rows.push_back({kNone, problems.size(), {}});
    problems.push_back(std::move(problem));
  }

  /// The station of a row; refuses the row if it has none.
  std::optional<std::size_t> station_of(const Cells& row) {
    if (last_station != kNone && has_key(row, stations[last_station].key)) return last_station;
    key_of(row, key);
    std::uint32_t* slot = &table.slot(key, stations);
    if (*slot != 0) return *slot - 1;
    Station station;
    if (auto problem = read_circumstances(row, rules, defaults, station.reading)) {
      refuse_row(*std::move(problem));
      return std::nullopt;
    }
    station.key = key;
    const Reading& reading = station.reading;
    if (reading.place) {
      const auto add = [&](double year) {
        spots.push_back({reading.place->lat_deg, reading.place->lon_deg, reading.height_m, year});
        return spots.size() - 1;
      };
      if (reading.date) station.spot = add(reading.date->decimal_year);
      if (reading.target_date) station.target = add(reading.target_date->decimal_year);
    }
    stations.push_back(std::move(station));
    *slot = static_cast<std::uint32_t>(stations.size());
    return stations.size() - 1;
  }

  std::optional<Problem> surround(Station& station, const std::vector<Result<field::FieldAnswer>>& fields) {
    const Reading& reading = station.reading;
    Surroundings& around = station.around;
    if (station.spot != kNone) {
      const auto& field = fields[station.spot];
      if (field) around.field = *field;
      // A row that is true already needs no model: it stays as it is, with D left blank.
      else if (reading.north != NorthReference::true_north || reading.applied)
        return with_field(field.problem(),
                          field.problem().code == Code::date_outside_models ? "date" : field.problem().field,
                          reading.date->iso);
      else
        around.date_outside_models = field.problem().code == Code::date_outside_models;
    }
    if (station.target != kNone) {
      const auto& field = fields[station.target];
      if (!field) return with_field(field.problem(), "target_date", reading.target_date->iso);
      around.field_at_target = *field;
    }
    if (auto problem = find_grids(grids, reading, around)) return problem;
    station.terms = phrases(reading, around);
    return std::nullopt;
  }

  void fill(Station& station, const Correction& c) {
    Outcome& out = outcome;
    const Reading& reading = station.reading;
    const Surroundings& around = station.around;
    out.status = c.changed ? Status::corrected : Status::unchanged;
    const auto degrees = [&](Added column, const auto& azimuth) {
      if (azimuth) out.number(column) = azimuth->degrees();
    };
    const auto turn = [&](Added column, const auto& angle) {
      if (angle) out.number(column) = angle->deg;
    };
    out.number(Added::azimuth_true) = c.azimuth_true.degrees();
    degrees(Added::dip_direction_true, c.dip_direction_true);
    degrees(Added::azimuth_grid, c.azimuth_grid);
    degrees(Added::azimuth_magnetic, c.azimuth_magnetic);
    out.number(Added::azimuth_sigma) = c.azimuth_sigma;
    out.number(Added::dip_corrected) = c.dip;
    out.number(Added::plunge_corrected) = c.plunge;
    out.number(Added::vertical_angle_corrected) = c.vertical_angle;
    turn(Added::declination, c.declination);
    out.number(Added::declination_sigma) = c.declination_sigma;
    out.number(Added::declination_95) = c.declination_95;
    turn(Added::convergence, c.convergence);
    out.number(Added::correction) = c.correction_deg;
    turn(Added::set_declination_used, c.set_used);
    turn(Added::index_error_used, c.index_used);
    degrees(Added::azimuth_at_target, c.azimuth_at_target);
    if (reading.date) out.date_used = reading.date->iso;
    if (around.field) out.model = around.field->model->id;
    if (reading.azimuth.style.quadrant || reading.convention == PlaneConvention::quadrant)
      out.azimuth_true_text = azimuth_text(reading, c);
    const CheckSet checks = raised(reading, around, c, rules.datum_stated);
    checks.each([&](Check check) { out.checks.push_back(info(check).code); });
    words.clear();
    remark(reading, around, station.terms, c, checks, words);
    out.remark = words.view();
  }
};

Corrector::Corrector(const field::Catalogue& catalogue, Rules rules)
    : inside_(std::make_unique<Inside>(catalogue, std::move(rules))) {}
Corrector::Corrector(Corrector&&) noexcept = default;
Corrector::~Corrector() = default;
const Rules& Corrector::rules() const { return inside_->rules; }

const Reading* Corrector::reading() const {
  const Inside& in = *inside_;
  return in.shown == kNone ? nullptr : &in.stations[in.shown].reading;
}
const Surroundings* Corrector::around() const {
  const Inside& in = *inside_;
  return in.shown == kNone ? nullptr : &in.stations[in.shown].around;
}

void Corrector::add(const Cells& row) {
  Inside& in = *inside_;
  in.empty_if_taken();
  const auto number = in.station_of(row);
  if (!number) return;
  in.last_station = *number;
  Station& station = in.stations[*number];
  if (auto problem = read_measured(row, in.rules, in.defaults, station.reading))
    in.refuse_row(*std::move(problem));
  else
    in.rows.push_back({*number, 0, station.reading.measured()});
}

void Corrector::evaluate() {
  Inside& in = *inside_;
  in.empty_if_taken();
  const auto fields = field::field_answers(in.catalogue, in.rules.model, in.spots);
  for (Station& station : in.stations) station.problem = in.surround(station, fields);
}

const Outcome& Corrector::next() {
  Inside& in = *inside_;
  const Pending& row = in.rows[in.taken++];
  in.outcome.clear();
  in.shown = row.station;
  if (row.station == kNone) {
    refuse(std::move(in.problems[row.problem]), in.outcome);
  } else {
    Station& station = in.stations[row.station];
    station.reading.measured() = row.measured;
    if (station.problem) {
      refuse(*station.problem, in.outcome);
    } else if (auto corrected = reading::correct(station.reading, station.around, in.rules.force_unusable)) {
      in.fill(station, *corrected);
    } else {
      refuse(std::move(corrected.problem()), in.outcome);
    }
  }
  return in.outcome;
}

std::vector<Outcome> Corrector::correct(std::span<const Cells> rows) {
  for (const Cells& row : rows) add(row);
  evaluate();
  std::vector<Outcome> outcomes;
  outcomes.reserve(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) outcomes.push_back(next());
  return outcomes;
}

}  // namespace agonic::reading
