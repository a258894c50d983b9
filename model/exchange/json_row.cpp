#include "model/exchange/json_row.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "model/exchange/added_text.hpp"
#include "model/exchange/json_members.hpp"
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

std::optional<Problem> fill_cell(Desk& desk, Column column, const JsonMember& member) {
  Cell& cell = desk.cells[column];
  if (cell.state != Cell::State::absent)
    return malformed(std::string(name(column)), "", "the member is there twice", "Keep one of them");
  switch (member.type) {
    case '"':
      cell = {Cell::State::text, member.text};
      return std::nullopt;
    case 'n':
      cell = {Cell::State::null, {}};
      return std::nullopt;
    case 't':
    case 'f':
      if (column == Column::backsight) {
        cell = {Cell::State::text, member.value};
        return std::nullopt;
      }
      break;
    case '[':
      if (auto list = column == Column::azimuth_index_error ? number_list(member.value) : std::nullopt) {
        cell = {Cell::State::number, desk.keep(*std::move(list))};
        return std::nullopt;
      }
      break;
    case '{':
      break;
    default:
      cell = {Cell::State::number, member.value};
      return std::nullopt;
  }
  return malformed(std::string(name(column)), printable(member.value), "a value of this type has no meaning here",
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

JsonMembers& members(Desk& desk) {
  if (!desk.members) desk.members = std::make_shared<JsonMembers>();
  return *desk.members;
}

// A text with what must stand behind it.
std::string_view keep_padded(Desk& desk, std::string text) {
  const std::size_t length = text.size();
  return desk.keep(std::move(text.append(kRowPadding, ' '))).substr(0, length);
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

// What the members of one object say.
struct Filled {
  bool sound = false;
  Names names;
  std::optional<Problem> problem;  // of the first cell that has one
};

// Fills cells from the members of an object.
// @param taken_again its earlier_ members are the correction to undo, and no members of the user's own
Filled fill_cells(std::string_view object, std::size_t deepest, bool taken_again, Desk& desk) {
  Filled out;
  std::optional<std::pair<Column, std::string>> meant;
  const auto take = [&](const JsonMember& member) {
    const JsonName& key = member.name;
    if (key.added) out.names.add(*key.added);
    if (out.problem) return;
    if (key.column) {
      out.problem = fill_cell(desk, *key.column, member);
    } else if (taken_again && key.text == "earlier_checks") {
      desk.cells.earlier_checks = {Cell::State::text, member.value};
    } else if (taken_again && (key.text == "earlier_azimuth_true" || key.text == "earlier_correction") &&
               member.type != 'n') {
      Cell& cell = key.text == "earlier_correction" ? desk.cells.earlier_correction : desk.cells.earlier_azimuth_true;
      cell = {Cell::State::number, member.type == '"' ? member.text : member.value};
    } else if (key.nearly && !meant) {
      meant = {*key.nearly, key.text};
    }
  };
  out.sound = members(desk).visit(object, deepest, take);
  if (!out.problem && meant && desk.cells[meant->first].state == Cell::State::absent)
    out.problem = Problem{Code::unknown_name, "", printable(meant->second),
                          "the member would be passed over, and it looks like " + std::string(name(meant->first)),
                          "Write it as " + std::string(name(meant->first)) + ", or rename it if it is one of your own"};
  return out;
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

void refuse_unsound(Row& row) {
  row.splice = false;
  row.refuse(malformed("", printable(row.raw), "this is no sound JSON object",
                       "Give one object with the columns as members, in UTF-8, nested no deeper than 32, its numbers "
                       "below 1e308"));
}

void fill_from_point(Row& row, Desk& desk) {
  const std::string_view feature = row.raw;
  const auto geometry = find_member(feature, "geometry");
  if (!geometry) return;
  const auto object = feature.substr(geometry->value_begin, geometry->value_end - geometry->value_begin);
  const auto type = find_member(object, "type"), coordinates = find_member(object, "coordinates");
  const auto unplaced = [&] {
    return desk.cells[Column::place].state == Cell::State::absent &&
           desk.cells[Column::lat].state == Cell::State::absent;
  };
  if (!type || !coordinates || object.substr(type->value_begin, type->value_end - type->value_begin) != "\"Point\"") {
    if (type && unplaced())
      row.refuse(malformed("geometry", "", "only a Point tells the place of a reading",
                           "Give a Point, or place among the properties"));
    return;
  }
  const auto list = nlohmann::json::parse(
      object.substr(coordinates->value_begin, coordinates->value_end - coordinates->value_begin), nullptr, false);
  if (!list.is_array() || list.size() < 2 || !list[0].is_number() || !list[1].is_number()) return;
  const auto unfilled = [&](Column column) {
    const Cell& cell = desk.cells[column];
    return cell.state != Cell::State::number && trim(cell.text).empty();
  };
  const auto set = [&](Column column, const nlohmann::json& value) {
    desk.cells[column] = {Cell::State::number, desk.keep(value.dump())};
  };
  // Half a place from the columns and half from the shape would be a third place.
  if (!unfilled(Column::place) || !unfilled(Column::lat) || !unfilled(Column::lon)) {
    auto lat = parse_number(desk.cells[Column::lat].text), lon = parse_number(desk.cells[Column::lon].text);
    if (const auto place = geodesy::parse_place(desk.cells[Column::place].text, {})) {
      lat = place->lat_deg;
      lon = place->lon_deg;
    }
    const auto off = [](double a, double b) { return std::abs(wrap_180(a - b)) > kSamePlaceDeg; };
    if (lat && lon && (off(*lat, list[1].get<double>()) || off(*lon, list[0].get<double>())))
      row.refuse({Code::contradiction, "geometry", "", "the point and lat, lon say two places", "Keep the right one"});
    return;
  }
  if (std::abs(list[1].get<double>()) > 90 || std::abs(list[0].get<double>()) > 360) {
    row.refuse({Code::place_out_of_range, "geometry", "", "the point lies outside the earth's degrees",
                "GeoJSON coordinates have the longitude first, then the latitude"});
    return;
  }
  set(Column::lon, list[0]);
  set(Column::lat, list[1]);
  if (list.size() > 2 && list[2].is_number() && unfilled(Column::height_m)) set(Column::height_m, list[2]);
}

// The columns are the members of row.raw[begin, end).
void read_object(Row& row, std::size_t begin, std::size_t end, std::size_t deepest, bool again, Desk& desk) {
  Filled filled = fill_cells(row.raw.substr(begin, end - begin), deepest, false, desk);
  if (!filled.sound) return refuse_unsound(row);
  if (auto problem = names_problem(filled.names, again)) return row.refuse(*std::move(problem));
  if (!filled.names.first.empty()) {
    const std::string object = renamed(row.raw.substr(begin, end - begin));
    row.raw = keep_padded(desk, std::string(row.raw.substr(0, begin)) + object + std::string(row.raw.substr(end)));
    end = begin + object.size();
    desk.cells.clear();
    filled = fill_cells(row.raw.substr(begin, end - begin), deepest, true, desk);
  }
  set_insertion(row, begin, end);
  if (filled.problem) row.refuse(*std::move(filled.problem));
  row.with_target = desk.cells[Column::target_date].state != Cell::State::absent;
}

}  // namespace

void read_json_row(Row& row, bool again, Desk& desk) {
  if (!row.raw.starts_with('{')) return refuse_unsound(row);
  read_object(row, 0, row.raw.size(), kDeepestJson, again, desk);
}

void read_feature_row(Row& row, bool again, Desk& desk) {
  if (!row.raw.starts_with('{') || !sound_json(row.raw, kDeepestJson)) return refuse_unsound(row);
  bool twice = false;
  auto properties = find_member(row.raw, "properties", &twice);
  find_member(row.raw, "geometry", &twice);
  if (twice) return row.refuse(malformed("", "", "properties or geometry is there twice", "Keep one of them"));
  if (!properties)
    return row.refuse(
        malformed("properties", "", "the feature has no properties", "Give the columns as members of properties"));
  if (row.raw.substr(properties->value_begin, properties->value_end - properties->value_begin) == "null") {
    row.raw = keep_padded(desk, std::string(row.raw).replace(properties->value_begin, 4, "{}"));
    properties = find_member(row.raw, "properties");
  }
  if (row.raw[properties->value_begin] != '{')
    return row.refuse(
        malformed("properties", "", "properties is no object", "Give the columns as members of properties"));
  read_object(row, properties->value_begin, properties->value_end, kDeepestJson - 1, again, desk);
  if (!row.problem) fill_from_point(row, desk);
}

namespace {

class JsonPassed final : public PassedReader {
 public:
  JsonPassed(bool features, std::vector<std::string> names) : features_(features), names_(std::move(names)) {}
  void read(const Row& row, Desk&, std::vector<std::string>& out) override {
    out.assign(names_.size(), {});
    if (!row.splice) return;
    std::string_view object = row.raw;
    if (features_) {
      const auto properties = find_member(object, "properties");
      if (!properties) return;
      object = object.substr(properties->value_begin, properties->value_end - properties->value_begin);
    }
    for (auto member = next_member(object, std::nullopt); member; member = next_member(object, member)) {
      const std::string key =
          lower(trim(unescape_json(object.substr(member->key_begin, member->key_end - member->key_begin))));
      const auto at = std::find(names_.begin(), names_.end(), key);
      if (at == names_.end()) continue;
      const auto value = object.substr(member->value_begin, member->value_end - member->value_begin);
      if (value.front() == '{' || value.front() == '[' || value.front() == 'n') continue;
      out[static_cast<std::size_t>(at - names_.begin())] =
          value.front() == '"' ? unescape_json(value) : std::string(value);
    }
  }

 private:
  bool features_;
  std::vector<std::string> names_;
};

class JsonReader final : public RowReader {
 public:
  JsonReader(bool features, bool again) : features_(features), again_(again) {}
  void read(Row& row, bool, Desk& desk) const override {
    if (features_)
      read_feature_row(row, again_, desk);
    else
      read_json_row(row, again_, desk);
  }
  [[nodiscard]] std::unique_ptr<PassedReader> passed(const std::vector<std::string>& names) const override {
    return std::make_unique<JsonPassed>(features_, names);
  }

 private:
  bool features_, again_;
};

}  // namespace

std::shared_ptr<const RowReader> json_row_reader(bool features, bool again) {
  return std::make_shared<JsonReader>(features, again);
}

std::optional<Problem> refuses_file(const RowReader& reader, std::string_view first_row) {
  const std::string padded = std::string(first_row) + std::string(kRowPadding, ' ');
  Desk desk;
  Row row;
  row.raw = std::string_view(padded).substr(0, first_row.size());
  reader.read(row, false, desk);
  if (!row.problem || (row.problem->code != Code::already_corrected && row.problem->code != Code::name_taken))
    return std::nullopt;
  return *row.problem;
}

}  // namespace agonic::exchange
