#include "model/exchange/json_row.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "model/exchange/added_text.hpp"
#include "model/exchange/json_text.hpp"
#include "model/exchange/row_batch.hpp"
#include "model/geodesy/place.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::exchange {

using reading::Added;
using reading::Cell;
using reading::Column;

namespace {

Problem malformed(std::string field, std::string value, std::string message, std::string remedy) {
  return {Code::row_malformed, std::move(field), std::move(value), std::move(message), std::move(remedy)};
}

// [1, 2, 3, 4, 5] as the text "1 2 3 4 5": an index curve.
std::optional<std::string> number_list(std::string_view array) {
  std::string out;
  for (char c : array.substr(1, array.size() - 2)) {
    if (c == '[' || c == '{' || c == '"' || c == 't' || c == 'f' || c == 'n') return std::nullopt;
    out += c == ',' ? ' ' : c;
  }
  return out;
}

std::optional<Problem> fill_cell(Row& row, Column column, std::string_view value) {
  Cell& cell = row.cells[column];
  if (cell.state != Cell::State::absent)
    return malformed(std::string(name(column)), "", "the member is there twice", "Keep one of them");
  switch (value.front()) {
    case '"':
      cell = {Cell::State::text, row.keep(unescape_json(value))};
      return std::nullopt;
    case 'n':
      cell = {Cell::State::null, {}};
      return std::nullopt;
    case 't':
    case 'f':
      if (column == Column::backsight) {
        cell = {Cell::State::text, value};
        return std::nullopt;
      }
      break;
    case '[':
      if (auto list = column == Column::azimuth_index_error ? number_list(value) : std::nullopt) {
        cell = {Cell::State::number, row.keep(*std::move(list))};
        return std::nullopt;
      }
      break;
    case '{':
      break;
    default:
      cell = {Cell::State::number, value};
      return std::nullopt;
  }
  return malformed(std::string(name(column)), printable(value), "a value of this type has no meaning here",
                   "Give a text or a number");
}

struct Names {
  bool azimuth_true = false, correction = false, model = false;
  std::string first;
  void add(Added added) {
    azimuth_true |= added == Added::azimuth_true;
    correction |= added == Added::correction;
    model |= added == Added::model;
    if (first.empty()) first = name(added);
  }
  [[nodiscard]] bool corrected() const { return azimuth_true && correction && model; }
};

Names added_names(std::string_view object) {
  Names names;
  for (auto member = next_member(object, std::nullopt); member; member = next_member(object, member))
    if (const auto added =
            reading::added_of(unescape_json(object.substr(member->key_begin, member->key_end - member->key_begin))))
      names.add(*added);
  return names;
}

// Puts earlier_ before the keys of an earlier correction, and once more before those of one still earlier.
std::string renamed(std::string_view object) {
  std::string out;
  std::size_t done = 0;
  for (auto member = next_member(object, std::nullopt); member; member = next_member(object, member)) {
    if (!of_a_correction(unescape_json(object.substr(member->key_begin, member->key_end - member->key_begin))))
      continue;
    out += object.substr(done, member->key_begin + 1 - done);
    out += "earlier_";
    done = member->key_begin + 1;
  }
  return out + std::string(object.substr(done));
}

std::optional<Problem> names_problem(const Names& names, bool again) {
  if (names.first.empty() || (names.corrected() && again)) return std::nullopt;
  if (names.corrected())
    return Problem{Code::already_corrected, "", "",
                   "azimuth_true, correction and model are there: it was corrected before",
                   "Correct the original; or say again=yes: the earlier correction is then undone first and kept in "
                   "members named earlier_..."};
  return Problem{Code::name_taken, "", names.first, "a member has the name of one that is added",
                 "Rename it, as my_" + names.first};
}

// Fills cells from the members of row.raw[begin, end), an object.
// @param taken_again its earlier_ members are the correction to undo, and no members of the user's own
std::optional<Problem> fill_cells(Row& row, std::size_t begin, std::size_t end, bool taken_again) {
  const std::string_view object = std::string_view(row.raw).substr(begin, end - begin);
  std::optional<std::pair<Column, std::string>> meant;
  for (auto member = next_member(object, std::nullopt); member; member = next_member(object, member)) {
    const std::string key = unescape_json(object.substr(member->key_begin, member->key_end - member->key_begin));
    const auto value = object.substr(member->value_begin, member->value_end - member->value_begin);
    if (const auto column = reading::column_of(key)) {
      if (auto problem = fill_cell(row, *column, value)) return problem;
    } else if (taken_again && key == "earlier_checks") {
      row.cells.earlier_checks = {Cell::State::text, value};
    } else if (taken_again && (key == "earlier_azimuth_true" || key == "earlier_correction") && value != "null") {
      Cell& cell = key == "earlier_correction" ? row.cells.earlier_correction : row.cells.earlier_azimuth_true;
      cell = {Cell::State::number, value.front() == '"' ? row.keep(unescape_json(value)) : value};
    } else if (const auto near = meant ? std::nullopt : reading::nearly(key)) {
      meant = {*near, key};
    }
  }
  if (meant && row.cells[meant->first].state == Cell::State::absent)
    return Problem{Code::unknown_name, "", printable(meant->second),
                   "the member would be passed over, and it looks like " + std::string(name(meant->first)),
                   "Write it as " + std::string(name(meant->first)) + ", or rename it if it is one of your own"};
  return std::nullopt;
}

// How far a shape may lie from the columns that say the same place, which may be rounded.
constexpr double kSamePlaceDeg = 0.01;

// Members are added before the closing brace, behind the last member.
void set_insertion(Row& row, std::size_t begin, std::size_t end) {
  std::size_t at = end - 1;  // the brace
  while (at > begin + 1 && json_space(row.raw[at - 1])) --at;
  row.insert_at = at;
  row.insert_first = at == begin + 1;
  row.splice = true;
}

bool sound(Row& row) {
  if (!row.raw.empty() && row.raw.front() == '{' && sound_json(row.raw, kDeepestJson)) return true;
  row.problem =
      malformed("", printable(row.raw), "this is no sound JSON object",
                "Give one object with the columns as members, in UTF-8, nested no deeper than 32, its numbers "
                "below 1e308");
  return false;
}

void fill_from_point(Row& row, std::string_view feature) {
  const auto geometry = find_member(feature, "geometry");
  if (!geometry) return;
  const auto object = feature.substr(geometry->value_begin, geometry->value_end - geometry->value_begin);
  const auto type = find_member(object, "type"), coordinates = find_member(object, "coordinates");
  const auto unplaced = [&] {
    return row.cells[Column::place].state == Cell::State::absent && row.cells[Column::lat].state == Cell::State::absent;
  };
  if (!type || !coordinates || object.substr(type->value_begin, type->value_end - type->value_begin) != "\"Point\"") {
    if (type && unplaced())
      row.problem = malformed("geometry", "", "only a Point tells the place of a reading",
                              "Give a Point, or place among the properties");
    return;
  }
  const auto list = nlohmann::json::parse(
      object.substr(coordinates->value_begin, coordinates->value_end - coordinates->value_begin), nullptr, false);
  if (!list.is_array() || list.size() < 2 || !list[0].is_number() || !list[1].is_number()) return;
  const auto unfilled = [&](Column column) {
    const Cell& cell = row.cells[column];
    return cell.state != Cell::State::number && trim(cell.text).empty();
  };
  const auto set = [&](Column column, const nlohmann::json& value) {
    row.cells[column] = {Cell::State::number, row.keep(value.dump())};
  };
  // Half a place from the columns and half from the shape would be a third place.
  if (!unfilled(Column::place) || !unfilled(Column::lat) || !unfilled(Column::lon)) {
    auto lat = parse_number(row.cells[Column::lat].text), lon = parse_number(row.cells[Column::lon].text);
    if (const auto place = geodesy::parse_place(row.cells[Column::place].text, {})) {
      lat = place->lat_deg;
      lon = place->lon_deg;
    }
    const auto off = [](double a, double b) { return std::abs(wrap_180(a - b)) > kSamePlaceDeg; };
    if (lat && lon && (off(*lat, list[1].get<double>()) || off(*lon, list[0].get<double>())))
      row.problem =
          Problem{Code::contradiction, "geometry", "", "the point and lat, lon say two places", "Keep the right one"};
    return;
  }
  if (std::abs(list[1].get<double>()) > 90 || std::abs(list[0].get<double>()) > 360) {
    row.problem = Problem{Code::place_out_of_range, "geometry", "", "the point lies outside the earth's degrees",
                          "GeoJSON coordinates have the longitude first, then the latitude"};
    return;
  }
  set(Column::lon, list[0]);
  set(Column::lat, list[1]);
  if (list.size() > 2 && list[2].is_number() && unfilled(Column::height_m)) set(Column::height_m, list[2]);
}

}  // namespace

void read_json_row(Row& row, bool again) {
  if (!sound(row)) return;
  const Names names = added_names(row.raw);
  if ((row.problem = names_problem(names, again))) return;
  if (!names.first.empty()) row.raw = renamed(row.raw);
  set_insertion(row, 0, row.raw.size());
  row.problem = fill_cells(row, 0, row.raw.size(), !names.first.empty());
}

void read_feature_row(Row& row, bool again) {
  if (!sound(row)) return;
  bool twice = false;
  auto properties = find_member(row.raw, "properties", &twice);
  find_member(row.raw, "geometry", &twice);
  if (twice) {
    row.problem = malformed("", "", "properties or geometry is there twice", "Keep one of them");
    return;
  }
  if (!properties) {
    row.problem =
        malformed("properties", "", "the feature has no properties", "Give the columns as members of properties");
    return;
  }
  if (row.raw.compare(properties->value_begin, properties->value_end - properties->value_begin, "null") == 0) {
    row.raw.replace(properties->value_begin, 4, "{}");
    properties = find_member(row.raw, "properties");
  }
  if (row.raw[properties->value_begin] != '{') {
    row.problem = malformed("properties", "", "properties is no object", "Give the columns as members of properties");
    return;
  }
  std::string object = row.raw.substr(properties->value_begin, properties->value_end - properties->value_begin);
  const Names names = added_names(object);
  if ((row.problem = names_problem(names, again))) return;
  if (!names.first.empty()) {
    const std::size_t length = object.size();
    object = renamed(object);
    row.raw.replace(properties->value_begin, length, object);
  }
  set_insertion(row, properties->value_begin, properties->value_begin + object.size());
  row.problem = fill_cells(row, properties->value_begin, properties->value_begin + object.size(), !names.first.empty());
  if (!row.problem) fill_from_point(row, row.raw);
}

}  // namespace agonic::exchange
