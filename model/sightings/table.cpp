#include "model/sightings/table.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "model/exchange/csv_text.hpp"
#include "model/exchange/json_text.hpp"
#include "model/units/number.hpp"

namespace agonic::sightings {
namespace {

using exchange::CsvField;
using Json = nlohmann::ordered_json;

constexpr std::string_view kBom = "\xEF\xBB\xBF";
constexpr std::size_t kDeepest = 32;

Problem file_problem(std::string field, std::string value, std::string message, std::string remedy) {
  return {Code::file_malformed, std::move(field), std::move(value), std::move(message), std::move(remedy)};
}

Problem too_many() {
  return {Code::too_large, "sightings", "", "there are more than " + std::to_string(kMostRows) + " sightings",
          "Fit one instrument or one season at a time"};
}

Result<char> delimiter_of(std::string_view header, const Parameters& options) {
  if (const auto named = options.get("delimiter")) {
    if (*named == "comma") return ',';
    if (*named == "semicolon") return ';';
    if (*named == "tab") return '\t';
    return Problem{Code::unknown_name, "delimiter", std::string(*named), "there is no such delimiter",
                   "Give comma, semicolon or tab"};
  }
  char best = ',';
  std::size_t most = 0;
  std::vector<CsvField> fields;
  for (const char candidate : {',', ';', '\t'}) {
    exchange::split_fields(header, candidate, fields);
    if (fields.size() > most) most = fields.size(), best = candidate;
  }
  return best;
}

bool fraction(std::string_view text, char mark) {
  const auto at = text.find(mark);
  const auto digit = [&](std::size_t i) { return i < text.size() && text[i] >= '0' && text[i] <= '9'; };
  return at != std::string_view::npos && at > 0 && digit(at - 1) && digit(at + 1);
}

bool holds_number(Column column) {
  switch (column) {
    case Column::lat:
    case Column::lon:
    case Column::azimuth:
    case Column::set_declination:
    case Column::known_azimuth:
    case Column::known_sigma:
    case Column::reading_sigma:
    case Column::vertical_fore:
    case Column::vertical_back:
    case Column::dip:
    case Column::dip_reversed:
      return true;
    default:
      return false;
  }
}

Result<char> mark_of(const std::vector<Row>& rows, const Parameters& options) {
  if (const auto named = options.get("decimal")) {
    if (*named == "point") return '.';
    if (*named == "comma") return ',';
    return Problem{Code::unknown_name, "decimal", std::string(*named), "there is no such decimal mark",
                   "Give point or comma"};
  }
  bool point = false, comma = false;
  for (const Row& row : rows)
    for (std::size_t i = 0; i < kColumns; ++i)
      if (holds_number(static_cast<Column>(i))) {
        point |= fraction(row.cells[i], '.');
        comma |= fraction(row.cells[i], ',');
      }
  if (point && comma)
    return Problem{Code::contradiction, "decimal", "", "some numbers have a decimal point and some a comma",
                   "Say decimal=point or decimal=comma"};
  return comma ? ',' : '.';
}

// What a header or a member means; a misspelt one is refused, for it would be passed over.
Result<std::optional<Column>> meaning_of(const std::string& given) {
  if (const auto column = column_of(given)) return std::optional(*column);
  if (const auto near = nearly(given))
    return Problem{Code::unknown_name, "", printable(given),
                   "it would be passed over, and it looks like " + std::string(name(*near)),
                   "Write it as " + std::string(name(*near)) + ", or rename it if it is one of your own"};
  return std::optional<Column>();
}

std::string value_of(const CsvField& field) {
  return std::string(trim(field.quoted ? exchange::unquote(field.raw) : std::string(field.raw)));
}

// One JSON value as a cell. Numbers stay as written.
std::optional<std::string> cell_of(const Json& value, Column column) {
  if (value.is_null()) return "";
  if (value.is_string()) return std::string(trim(value.get_ref<const std::string&>()));
  if (value.is_boolean() && column == Column::backsight) return value.get<bool>() ? "yes" : "no";
  const bool text_only = column == Column::date || column == Column::time;
  if (value.is_number() && !text_only) return value.dump();
  return std::nullopt;
}

void fill(Row& row, const Json& object) {
  if (!object.is_object()) {
    row.problem = Problem{Code::row_malformed, "", "", "a sighting is an object with the columns as members",
                          "See the description of /v1/fit"};
    return;
  }
  for (const auto& [key, value] : object.items()) {
    const auto column = meaning_of(key);
    if (!column) {
      row.problem = column.problem();
      return;
    }
    if (!*column) continue;
    auto cell = cell_of(value, **column);
    if (!cell) {
      row.problem =
          Problem{Code::row_malformed, key, printable(value.dump()), "a value of this type has no meaning here",
                  "Give a text or a number; dates and times as text"};
      return;
    }
    row[**column] = *std::move(cell);
  }
}

}  // namespace

Result<std::vector<Row>> read_csv(std::string_view text, const Parameters& options) {
  if (text.starts_with(kBom)) text.remove_prefix(kBom.size());
  const auto end = text.find('\n');
  auto delimiter = delimiter_of(text.substr(0, end), options);
  if (!delimiter) return delimiter.problem();
  exchange::RecordScanner scanner(*delimiter);
  std::vector<std::optional<Column>> header;
  std::vector<CsvField> fields;
  std::vector<Row> rows;
  std::uint64_t line = 1;
  bool first = true;
  for (bool last = false; !last;) {
    std::size_t length = text.size(), taken = text.size();
    if (const auto record = scanner.scan(text)) {
      length = record->length;
      taken = record->length + record->ending;
    } else {
      if (scanner.in_quotes())
        return file_problem("line " + std::to_string(line), "", "a quotation mark is not closed", "Close it");
      last = true;
    }
    const std::string_view raw = text.substr(0, length);
    const auto lines =
        static_cast<std::uint64_t>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(taken), '\n'));
    if (!trim(raw).empty()) {
      exchange::split_fields(raw, *delimiter, fields);
      if (first) {
        for (const CsvField& field : fields) {
          const std::string given = value_of(field);
          const auto column = meaning_of(given);
          if (!column) {
            Problem problem = column.problem();
            problem.field = "header";
            return problem;
          }
          if (*column && std::find(header.begin(), header.end(), *column) != header.end())
            return file_problem("header", given, "the column is there twice", "Keep one of them");
          header.push_back(*column);
        }
        first = false;
      } else {
        if (rows.size() == kMostRows) return too_many();
        Row& row = rows.emplace_back();
        row.row = rows.size();
        row.line = line;
        if (fields.size() != header.size() ||
            std::any_of(fields.begin(), fields.end(), [](const CsvField& f) { return f.broken; }))
          row.problem = Problem{Code::row_malformed, "", "",
                                "the row has " + std::to_string(fields.size()) + " cells and the header " +
                                    std::to_string(header.size()) + ", or its quotation marks are wrong",
                                "Mend the row"};
        for (std::size_t i = 0; i < std::min(fields.size(), header.size()); ++i)
          if (header[i]) row[*header[i]] = value_of(fields[i]);
      }
    }
    line += lines;
    text.remove_prefix(taken);
  }
  if (first) return file_problem("header", "", "the file is empty", "Begin with a line of column names");
  const auto has = [&](Column column) {
    return std::find(header.begin(), header.end(), column) != header.end() || options.get(name(column));
  };
  if (!has(Column::azimuth) && !has(Column::vertical_fore) && !has(Column::dip))
    return Problem{Code::columns_missing, "header", "", "there is no column of readings",
                   "Name it azimuth, vertical_fore and vertical_back, or dip and dip_reversed"};
  auto mark = mark_of(rows, options);
  if (!mark) return mark.problem();
  for (Row& row : rows) row.mark = *mark;
  return rows;
}

Result<std::vector<Row>> read_json(std::string_view text, Parameters& options) {
  if (!exchange::sound_json(text, kDeepest))
    return file_problem("", "", "this is no sound JSON", "Send {\"sightings\": [{...}, ...]} in UTF-8");
  // Of a member that is there twice a parser keeps one, and nobody knows which was meant.
  std::vector<std::set<std::string>> names;
  std::string twice;
  const auto watch = [&](int, Json::parse_event_t event, Json& parsed) {
    if (event == Json::parse_event_t::object_start) names.emplace_back();
    if (event == Json::parse_event_t::object_end) names.pop_back();
    if (event == Json::parse_event_t::key && !names.back().insert(parsed.get<std::string>()).second)
      twice = parsed.get<std::string>();
    return true;
  };
  const Json document = Json::parse(text, watch, false);
  if (!twice.empty()) return file_problem(printable(twice), "", "the member is there twice", "Keep one of them");
  const Json* list = &document;
  if (document.is_object()) {
    for (const auto& [key, value] : document.items())
      if (key != "sightings" && key != "defaults")
        return file_problem(printable(key), "", "there is no such member", "Give sightings, and defaults if wanted");
    if (const auto defaults = document.find("defaults"); defaults != document.end()) {
      if (!defaults->is_object())
        return file_problem("defaults", "", "defaults is an object", "Give {\"column\": value, ...}");
      for (const auto& [key, value] : defaults->items()) {
        auto cell = cell_of(value, column_of(key).value_or(Column::id));
        if (!cell)
          return file_problem(printable(key), "", "a value of this type has no meaning here", "Give text or a number");
        options.values.emplace(key, *std::move(cell));
      }
    }
    const auto sightings = document.find("sightings");
    if (sightings == document.end())
      return file_problem("sightings", "", "the member is missing", "Send {\"sightings\": [{...}, ...]}");
    list = &*sightings;
  }
  if (!list->is_array())
    return file_problem("sightings", "", "sightings is an array", "Send {\"sightings\": [{...}, ...]}");
  if (list->size() > kMostRows) return too_many();
  std::vector<Row> rows(list->size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i].row = i + 1;
    fill(rows[i], (*list)[i]);
  }
  return rows;
}

}  // namespace agonic::sightings
