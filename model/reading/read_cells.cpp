#include "model/reading/read_cells.hpp"

#include "model/units/number.hpp"
#include "model/units/yes.hpp"

namespace agonic::reading {
namespace {

// What somebody set or applied: there "unknown" is a statement.
bool set_or_applied(Column column) {
  return column == Column::set_declination || column == Column::applied_declination ||
         column == Column::applied_grid_magnetic;
}

}  // namespace

ColumnSet defaulted(const Rules& rules) noexcept {
  ColumnSet columns = 0;
  for (std::size_t i = 0; i < kColumns; ++i)
    if (rules.defaults[i]) columns |= bit(static_cast<Column>(i));
  return columns;
}

Effective CellReader::get_present(Column column) const {
  const Cell& cell = cells_[column];
  Effective out;
  switch (cell.state) {
    case Cell::State::text:
      out.text = trim(cell.text);
      out.mark = rules_.cell_mark;
      break;
    case Cell::State::number:
      out.text = cell.text;
      out.is_number = true;
      break;
    case Cell::State::null:
      out.is_null = true;
      break;
    case Cell::State::absent:
      break;
  }
  // Null means "unknown" for what was set or applied: that is never filled from a default.
  const bool null_counts = set_or_applied(column) || column == Column::north_reference;
  if (!out.text.empty() || (out.is_null && null_counts)) return out;
  if (const auto& fallback = rules_.defaults[static_cast<std::size_t>(column)]) {
    out.text = trim(*fallback);
    out.mark = '.';
    out.from_default = true;
    out.is_null = false;
  }
  return out;
}

bool CellReader::own_touched(Column column) const {
  const Cell& cell = cells_[column];
  if (set_or_applied(column) && is_word(trim(cell.text), "unknown")) return false;
  return (cell.state == Cell::State::text && !trim(cell.text).empty()) || cell.state == Cell::State::number;
}

Result<std::optional<double>> CellReader::number(Column column, double low, double high) const {
  const Effective cell = get(column);
  if (!cell) return std::optional<double>();
  const auto value = parse_number(cell.text, cell.mark);
  if (!value)
    return Problem{Code::not_a_number, std::string(name(column)), std::string(cell.text), "this is no number",
                   cell.mark == ',' ? "Give a plain number with a decimal comma, as in the rest of the file"
                                    : "Give a plain number with a decimal point and no thousands mark"};
  if (*value < low || *value > high)
    return Problem{Code::out_of_range, std::string(name(column)), std::string(cell.text),
                   "it lies between " + format_trimmed(low) + " and " + format_trimmed(high),
                   "Look it up in the notebook"};
  return std::optional<double>(*value);
}

Result<bool> CellReader::yes(Column column) const { return parse_yes(get(column).text, name(column)); }

DeclinationReading CellReader::declination_reading(Column column, const Effective& cell) const {
  DeclinationReading how;
  how.field = name(column);
  how.letter_o = rules_.letters.o;
  how.decimal_mark = cell.mark;
  if (cell.from_default && rules_.typed[static_cast<std::size_t>(column)]) how.unsigned_means = UnsignedMeans::refused;
  return how;
}

Result<std::optional<double>> CellReader::declination(Column column) const {
  const Effective cell = get(column);
  if (cell.is_null || is_word(cell.text, "unknown")) {
    if (!set_or_applied(column)) return std::optional<double>();
    const bool set = column == Column::set_declination;
    return Problem{Code::set_declination_unknown, std::string(name(column)),
                   cell.is_null ? "null" : std::string(cell.text),
                   "unknown is not 0: without it the reading cannot be referred to true north",
                   set ? "Find out what was set on the circle and fill it in (0 = not set)"
                       : "Find out what was added before and fill it in; leave it blank if nothing was"};
  }
  if (!cell) return std::optional<double>();
  auto value = parse_declination(cell.text, declination_reading(column, cell));
  if (!value) return value.problem();
  return std::optional<double>(*value);
}

Result<std::optional<WrittenDeclination>> CellReader::written_declination(Column column, double decimal_year) const {
  const Effective cell = get(column);
  if (looks_like_map_note(cell.text)) {
    auto note = parse_map_note(cell.text, declination_reading(column, cell));
    if (!note) return note.problem();
    return std::optional<WrittenDeclination>({note->at(decimal_year), *note});
  }
  auto value = declination(column);
  if (!value) return value.problem();
  if (!*value) return std::optional<WrittenDeclination>();
  return std::optional<WrittenDeclination>({**value, std::nullopt});
}

Result<std::optional<Date>> CellReader::date(Column column) const {
  const Effective cell = get(column);
  if (cell.is_number)
    return Problem{Code::date_unreadable, std::string(name(column)), std::string(cell.text),
                   "a JSON number is no date: 2008 the year and 2008.0 the instant would look alike",
                   "Give it as text, \"2008-07-01\""};
  if (!cell) return std::optional<Date>();
  auto date = parse_date(cell.text, {rules_.today, rules_.date_order, name(column)});
  if (!date) return date.problem();
  return std::optional<Date>(*std::move(date));
}

Problem not_applicable(Column column, const Effective& cell, std::string message, std::string remedy) {
  return {Code::not_applicable, std::string(name(column)), std::string(cell.text), std::move(message),
          std::move(remedy)};
}

}  // namespace agonic::reading
