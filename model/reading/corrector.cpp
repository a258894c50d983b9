#include "model/reading/corrector.hpp"

#include "model/field/declination.hpp"
#include "model/geodesy/grid.hpp"
#include "model/reading/correction.hpp"
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

Outcome refused(Problem problem) {
  Outcome out;
  out.checks.push_back(agonic::word(problem.code));
  out.remark = problem.text();
  out.problem = std::move(problem);
  return out;
}

struct Corrector::Inside {
  const field::Catalogue& catalogue;
  Rules rules;
  geodesy::Grids grids;
};

Corrector::Corrector(const field::Catalogue& catalogue, Rules rules)
    : inside_(new Inside{catalogue, std::move(rules), geodesy::Grids()}) {}
Corrector::Corrector(Corrector&&) noexcept = default;
Corrector::~Corrector() = default;
const Rules& Corrector::rules() const { return inside_->rules; }

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

Outcome outcome_of(const Reading& reading, const Surroundings& around, const Rules& rules) {
  auto corrected = correct(reading, around, rules.force_unusable);
  if (!corrected) return refused(corrected.problem());
  const Correction& c = *corrected;
  Outcome out;
  out.status = c.changed ? Status::corrected : Status::unchanged;
  const auto degrees = [](const auto& azimuth) -> std::optional<double> {
    if (!azimuth) return std::nullopt;
    return azimuth->degrees();
  };
  const auto turn = [](const auto& angle) -> std::optional<double> {
    if (!angle) return std::nullopt;
    return angle->deg;
  };
  out.number(Added::azimuth_true) = c.azimuth_true.degrees();
  out.number(Added::dip_direction_true) = degrees(c.dip_direction_true);
  out.number(Added::azimuth_grid) = degrees(c.azimuth_grid);
  out.number(Added::azimuth_magnetic) = degrees(c.azimuth_magnetic);
  out.number(Added::azimuth_sigma) = c.azimuth_sigma;
  out.number(Added::dip_corrected) = c.dip;
  out.number(Added::plunge_corrected) = c.plunge;
  out.number(Added::vertical_angle_corrected) = c.vertical_angle;
  out.number(Added::declination) = turn(c.declination);
  out.number(Added::declination_sigma) = c.declination_sigma;
  out.number(Added::declination_95) = c.declination_95;
  out.number(Added::convergence) = turn(c.convergence);
  out.number(Added::correction) = c.correction_deg;
  out.number(Added::set_declination_used) = turn(c.set_used);
  out.number(Added::index_error_used) = turn(c.index_used);
  out.number(Added::azimuth_at_target) = degrees(c.azimuth_at_target);
  if (reading.date) out.date_used = reading.date->iso;
  if (around.field) out.model = around.field->model->id;
  out.azimuth_true_text = azimuth_text(reading, c);
  const auto checks = raised(reading, around, c, rules.datum_stated);
  for (Check check : checks) out.checks.push_back(info(check).code);
  out.remark = remark(reading, around, c, checks);
  return out;
}

Problem with_field(Problem problem, std::string_view field, std::string_view value) {
  problem.field = field;
  if (problem.value.empty()) problem.value = value;
  return problem;
}

}  // namespace

std::vector<Outcome> Corrector::correct(std::span<const Cells> rows) {
  // Read all rows, gather the points that need the field, evaluate them as columns, then correct row by row.
  constexpr std::size_t kNone = static_cast<std::size_t>(-1);
  struct Pending {
    Result<Reading> reading;
    std::size_t spot = kNone, target = kNone;
  };
  std::vector<Pending> pending;
  pending.reserve(rows.size());
  std::vector<field::Spot> spots;
  for (const Cells& cells : rows) {
    Pending row{read_row(cells, inside_->rules)};
    if (row.reading && row.reading->place) {
      const Reading& reading = *row.reading;
      const auto add = [&](double year) {
        spots.push_back({reading.place->lat_deg, reading.place->lon_deg, reading.height_m, year});
        return spots.size() - 1;
      };
      if (reading.date) row.spot = add(reading.date->decimal_year);
      if (reading.target_date) row.target = add(reading.target_date->decimal_year);
    }
    pending.push_back(std::move(row));
  }
  const auto fields = field::field_answers(inside_->catalogue, inside_->rules.model, spots);

  std::vector<Outcome> outcomes;
  outcomes.reserve(rows.size());
  for (Pending& row : pending) {
    if (!row.reading) {
      outcomes.push_back(refused(row.reading.problem()));
      continue;
    }
    const Reading& reading = *row.reading;
    Surroundings around;
    if (row.spot != kNone) {
      const auto& field = fields[row.spot];
      if (field) around.field = *field;
      // A row that is true already needs no model: it stays as it is, with D left blank.
      else if (reading.north != NorthReference::true_north || reading.applied) {
        outcomes.push_back(refused(with_field(
            field.problem(), field.problem().code == Code::date_outside_models ? "date" : field.problem().field,
            reading.date->iso)));
        continue;
      } else {
        around.date_outside_models = field.problem().code == Code::date_outside_models;
      }
    }
    if (row.target != kNone) {
      const auto& field = fields[row.target];
      if (!field) {
        outcomes.push_back(refused(with_field(field.problem(), "target_date", reading.target_date->iso)));
        continue;
      }
      around.field_at_target = *field;
    }
    if (auto problem = find_grids(inside_->grids, reading, around)) {
      outcomes.push_back(refused(*std::move(problem)));
      continue;
    }
    outcomes.push_back(outcome_of(reading, around, inside_->rules));
  }
  return outcomes;
}

}  // namespace agonic::reading
