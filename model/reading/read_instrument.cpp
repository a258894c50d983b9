#include "model/reading/read_instrument.hpp"

#include <memory>

#include "model/instrument/registry.hpp"

namespace agonic::reading {

// Between the row's own cell and the default stands what the registry says of the instrument on the reading's date.
void read_instrument(const CellReader& cells, Circumstances& reading) {
  const Effective instrument = cells.get(Column::instrument);
  if (!instrument) return;
  const auto lacking = [&](std::string message, std::string remedy) {
    reading.instrument_problem = Problem{Code::instrument_unknown, "instrument", std::string(instrument.text),
                                         std::move(message), std::move(remedy)};
  };
  if (!cells.rules().instruments) {
    lacking("no registry of instruments is at hand, so that its index errors are not known",
            "Give the row's own index error (0 if it has none), a dump of the registry, or leave instrument blank");
  } else if (!reading.date) {
    lacking("without a date it is not known which of its versions held", "Give the date of the reading");
  } else if (auto record = cells.rules().instruments->find(instrument.text); !record) {
    reading.instrument_problem = record.problem();
  } else if (auto held = instrument::in_force(**record, *reading.date); !held) {
    reading.instrument_problem = held.problem();
  } else {
    reading.instrument = std::make_shared<const instrument::InForce>(*std::move(held));
  }
}

namespace {

// An error that the instrument's record and the row both leave open is not taken as 0.
MaybeProblem instrument_lacks(const CellReader& cells, const Reading& reading, Column column, std::string why) {
  if (reading.instrument_problem) return reading.instrument_problem;
  return Problem{Code::instrument_unknown, "instrument", std::string(cells.get(Column::instrument).text),
                 std::move(why), "Record it, or give " + std::string(name(column)) + " (0 if it has none)"};
}

MaybeProblem parse_into(const Effective& cell, instrument::IndexCurve& into) {
  auto curve = instrument::parse_index_curve(cell.text, cell.mark);
  if (!curve) return curve.problem();
  into = *curve;
  return std::nullopt;
}

MaybeProblem read_azimuth_index(const CellReader& cells, Reading& reading) {
  const Effective index = cells.get(Column::azimuth_index_error);
  const bool own = cells.own(Column::azimuth_index_error);
  if (reading.north != NorthReference::circle) {
    if (!own) return std::nullopt;
    return not_applicable(Column::azimuth_index_error, index, "an index error applies to circle rows only",
                          "Clear it, or say north_reference circle if the azimuth is as read off the instrument");
  }
  if (!own && cells.get(Column::instrument)) {
    // No default stands in for a record that says nothing for that day: only the row itself can.
    if (!reading.instrument || !reading.instrument->azimuth)
      return instrument_lacks(cells, reading, Column::azimuth_index_error,
                              reading.instrument ? reading.instrument->azimuth_lacking : std::string());
    reading.azimuth_index = reading.instrument->azimuth->curve;
    reading.azimuth_index_recorded = true;
    return std::nullopt;
  }
  return index ? parse_into(index, reading.azimuth_index) : std::nullopt;
}

// A vertical or dip index error: the row's, the instrument's, the default's.
Result<std::optional<double>> inclined_index(const CellReader& cells, const Reading& reading, Column column) {
  auto value = cells.number(column, -45, 45);
  if (!value || cells.own(column) || !reading.instrument) return value;
  const auto& held = column == Column::dip_index_error ? reading.instrument->dip : reading.instrument->vertical;
  if (held) return std::optional<double>(held->error_deg);
  return value;
}

}  // namespace

MaybeProblem read_index_errors(const CellReader& cells, Reading& reading) {
  if (!cells.any(bit(Column::azimuth_index_error) | bit(Column::vertical_index_error) | bit(Column::dip_index_error) |
                 bit(Column::instrument)))
    return std::nullopt;
  if (auto problem = read_azimuth_index(cells, reading)) return problem;
  auto vertical = inclined_index(cells, reading, Column::vertical_index_error);
  if (!vertical) return vertical.problem();
  auto dip = inclined_index(cells, reading, Column::dip_index_error);
  if (!dip) return dip.problem();
  reading.vertical_index_error = vertical->value_or(0);
  reading.dip_index_error = dip->value_or(0);
  if (reading.kind != Kind::line || (reading.vertical_index_error == 0 && reading.dip_index_error == 0))
    return std::nullopt;
  // A plunge was either sighted or read off a clinometer laid on the rock; the row's own cell tells which, also a 0.
  const bool own_vertical = cells.own(Column::vertical_index_error), own_dip = cells.own(Column::dip_index_error);
  if (own_vertical != own_dip) {
    (own_vertical ? reading.dip_index_error : reading.vertical_index_error) = 0;
    return std::nullopt;
  }
  // A record that knows both says for neither that it was the one used.
  const bool both_recorded = !own_dip && reading.instrument && reading.instrument->vertical && reading.instrument->dip;
  if (both_recorded || (reading.vertical_index_error != 0 && reading.dip_index_error != 0))
    return Problem{Code::contradiction, "vertical_index_error",
                   std::string(cells.get(Column::vertical_index_error).text),
                   "a plunge is sighted or read off the rock, and both index errors are given",
                   "Give vertical_index_error for sighted plunges or dip_index_error for those laid on the rock"};
  return std::nullopt;
}

// An angle that was read with an instrument whose error in it nobody knows.
MaybeProblem check_instrument(const CellReader& cells, const Reading& reading) {
  if (!cells.get(Column::instrument)) return std::nullopt;
  // Given in a cell, held in the record, or said for the whole batch beside a record that leaves it open.
  const auto known = [&](Column column) {
    if (cells.own(column)) return true;
    if (!reading.instrument) return false;
    const auto& of = *reading.instrument;
    const bool dip_asked = column == Column::dip_index_error;
    if (dip_asked ? of.dip_unknown : of.vertical_unknown) return false;
    return (dip_asked ? of.dip : of.vertical).has_value() || static_cast<bool>(cells.get(column));
  };
  const bool vertical = known(Column::vertical_index_error), dip = known(Column::dip_index_error);
  const auto lacks = [&](Column column, std::string_view of) {
    return instrument_lacks(cells, reading, column, "no " + std::string(of) + " index error is recorded for that date");
  };
  if (reading.vertical_deg && !vertical) return lacks(Column::vertical_index_error, "vertical");
  if (reading.plunge_deg && !vertical && !dip) return lacks(Column::dip_index_error, "dip or vertical");
  if (reading.dip_deg && !dip) return lacks(Column::dip_index_error, "dip");
  return std::nullopt;
}

}  // namespace agonic::reading
