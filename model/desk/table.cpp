#include "model/desk/table.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "model/exchange/csv_text.hpp"
#include "model/exchange/json_text.hpp"
#include "model/units/number.hpp"
#include "model/units/text.hpp"

namespace agonic::desk {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostColumns = 200;
constexpr std::size_t kDeepest = 32;

std::string plain(std::string_view name) {
  std::string out = lower(name);
  std::erase_if(out, [](char c) { return c == ' ' || c == '-' || c == '_'; });
  return out;
}

// A name that is like a known one is refused, so that a misspelt column is not passed over in silence.
std::optional<Problem> misspelt(const std::vector<std::string>& names, const TableKind& kind) {
  constexpr std::size_t kLong = 6;
  for (const std::string& name : names)
    for (const std::string_view known : kind.known) {
      if (name == known) break;
      if (plain(name) == plain(known) || (known.size() >= kLong && one_letter_off(lower(name), known)))
        return Problem{Code::unknown_name,
                       printable(name),
                       {},
                       "no column is called so, but one is nearly",
                       "Did you mean " + std::string(known) + "? Rename it, also if it is something else"};
    }
  return std::nullopt;
}

}  // namespace

std::optional<Problem> check_names(const std::vector<std::string>& names, const TableKind& kind) {
  if (names.size() > kMostColumns)
    return Problem{Code::file_malformed,
                   {},
                   {},
                   "there are more than " + std::to_string(kMostColumns) + " columns",
                   "Leave out what is not needed"};
  for (std::size_t i = 0; i < names.size(); ++i)
    if (std::find(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(i), names[i]) !=
        names.begin() + static_cast<std::ptrdiff_t>(i))
      return Problem{Code::file_malformed, printable(names[i]), {}, "two columns have this name", "Rename one"};
  if (auto problem = misspelt(names, kind)) return problem;
  for (const std::string_view name : kind.needed)
    if (std::find(names.begin(), names.end(), name) == names.end()) {
      std::string all;
      for (const std::string_view known : kind.known) all += (all.empty() ? "" : ", ") + std::string(known);
      return Problem{Code::columns_missing,
                     std::string(name),
                     {},
                     "there is no column " + std::string(name),
                     "Columns that are read: " + all};
    }
  return std::nullopt;
}

namespace {

Problem too_many_rows() {
  return {Code::too_large, {}, {}, "there are more than " + std::to_string(kMostRows) + " rows", "Give it in parts"};
}

// The decimal mark: as declared; a comma where the delimiter is another and cells say so, unless others have points.
Result<char> decimal_mark(const Table& table, const TableKind& kind, const Parameters& parameters) {
  if (const auto word = parameters.get("decimal")) {
    if (*word == "point" || *word == ".") return '.';
    if (*word == "comma" || *word == ",") return ',';
    return Problem{Code::unknown_name, "decimal", std::string(*word), "this value is not known", "Give point or comma"};
  }
  bool points = false, commas = false;
  for (const Row& row : table.rows)
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      if (std::find(kind.known.begin(), kind.known.end(), table.names[i]) == kind.known.end()) continue;
      const std::string_view text = trim(row.cells[i]);
      points = points || (text.find('.') != std::string_view::npos && parse_number(text, '.'));
      commas = commas || (text.find(',') != std::string_view::npos && parse_number(text, ','));
    }
  if (points && commas)
    return Problem{Code::contradiction,
                   "decimal",
                   {},
                   "some numbers have a decimal point and some a decimal comma",
                   "Say decimal=point or decimal=comma, and mend the others"};
  return commas ? ',' : '.';
}

Result<Table> read_csv(std::string_view text, const TableKind& kind, const Parameters& parameters) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  Table table;
  const std::string_view head = text.substr(0, text.find('\n'));
  if (const auto word = parameters.get("delimiter")) {
    if (*word != "comma" && *word != "semicolon" && *word != "tab")
      return Problem{Code::unknown_name, "delimiter", std::string(*word), "this value is not known",
                     "Give comma, semicolon or tab"};
    table.delimiter = *word == "comma" ? ',' : *word == "semicolon" ? ';' : '\t';
  } else {
    std::ptrdiff_t most = 0;
    for (const char c : {',', ';', '\t'})
      if (const auto n = std::count(head.begin(), head.end(), c); n > most) most = n, table.delimiter = c;
  }
  exchange::RecordScanner scanner(table.delimiter);
  std::vector<exchange::CsvField> fields;
  for (std::uint64_t line = 1; !text.empty();) {
    auto record = scanner.scan(text);
    if (!record) {
      if (scanner.in_quotes())
        return Problem{
            Code::file_malformed, "line " + std::to_string(line), {}, "a quoted cell has no end", "Close the quotes"};
      record = exchange::RecordScanner::Record{text.size(), 0};
    }
    const std::string_view whole = text.substr(0, record->length);
    const std::uint64_t at = line;
    line += 1 + static_cast<std::uint64_t>(std::count(whole.begin(), whole.end(), '\n'));
    text.remove_prefix(record->length + record->ending);
    if (trim(whole).empty()) continue;
    exchange::split_fields(whole, table.delimiter, fields);
    std::vector<std::string> cells;
    bool broken = false;
    for (const exchange::CsvField& field : fields) {
      broken = broken || field.broken;
      cells.push_back(field.quoted ? exchange::unquote(field.raw) : std::string(field.raw));
    }
    if (table.names.empty()) {
      for (std::string& cell : cells) cell = std::string(trim(cell));
      table.names = std::move(cells);
      if (auto problem = check_names(table.names, kind)) return *problem;
      continue;
    }
    if (table.rows.size() == kMostRows) return too_many_rows();
    Row row{table.rows.size() + 1, at, {}, {}, {}};
    if (broken || cells.size() != table.names.size())
      row.problem = Problem{Code::row_malformed,
                            {},
                            {},
                            broken ? "a quoted cell is broken"
                                   : "the row has " + std::to_string(cells.size()) + " cells, the header " +
                                         std::to_string(table.names.size()),
                            "Quote cells that hold the delimiter"};
    cells.resize(table.names.size());
    row.cells = std::move(cells);
    table.rows.push_back(std::move(row));
  }
  if (table.names.empty())
    return Problem{Code::file_malformed, {}, {}, "the file is empty", "Give a header line and rows"};
  auto mark = decimal_mark(table, kind, parameters);
  if (!mark) return mark.problem();
  table.decimal_mark = *mark;
  return table;
}

bool name_is_date(std::string_view name) { return name == "date" || name == "time"; }

// A cell as text: strings as they are, numbers as written, null as nothing.
std::optional<std::string> text_of(const Json& value) {
  if (value.is_string()) return value.get<std::string>();
  if (value.is_null()) return std::string();
  if (value.is_boolean()) return std::string(value.get<bool>() ? "yes" : "no");
  if (value.is_number()) return value.dump();
  return std::nullopt;
}

Result<Table> read_json(std::string_view text, const TableKind& kind, Parameters& parameters) {
  const std::string rows_name(kind.rows_name);
  const auto malformed = [&](std::string message) {
    return Problem{Code::file_malformed,
                   {},
                   {},
                   std::move(message),
                   "Send one object: {\"" + rows_name + "\": [{...}, ...]}, with the options beside it"};
  };
  if (!exchange::sound_json(text, kDeepest)) return malformed("this is no well-formed JSON");
  const Json document = Json::parse(text, nullptr, false);
  if (!document.is_object()) return malformed("this is no JSON object");
  const auto rows = document.find(rows_name);
  if (rows == document.end() || !rows->is_array()) return malformed("there is no array '" + rows_name + "'");
  for (const auto& [name, value] : document.items()) {
    if (name == rows_name) continue;
    auto given = text_of(value);
    if (!given)
      return Problem{Code::file_malformed, printable(name), {}, "nested values have no meaning here", "Give a text"};
    if (name_is_date(name) && value.is_number())
      return Problem{Code::date_unreadable, name, *given,
                     "a JSON number is no date: 2008 the year and 2008.0 the instant would look alike",
                     "Give it as text, \"2028-07-04\""};
    if (!parameters.values.emplace(name, std::move(*given)).second)
      return Problem{
          Code::contradiction, printable(name), {}, "it is given twice: in the query and in the body", "Give it once"};
  }
  if (rows->size() > kMostRows) return too_many_rows();
  Table table;
  for (const Json& row : *rows)
    if (row.is_object())
      for (const auto& [name, value] : row.items())
        if (!table.has(name) && table.names.size() <= kMostColumns) table.names.push_back(name);
  if (auto problem = check_names(table.names, kind)) return *problem;
  for (const Json& json : *rows) {
    Row row{table.rows.size() + 1, 0, std::vector<std::string>(table.names.size()), {}, {}};
    if (!json.is_object()) {
      row.problem = Problem{Code::row_malformed, {}, {}, "the row is no JSON object", "Give an object"};
    } else {
      row.object = json.dump();
      for (std::size_t i = 0; i < table.names.size(); ++i) {
        const auto found = json.find(table.names[i]);
        if (found == json.end()) continue;
        auto cell = text_of(*found);
        const bool read = std::find(kind.known.begin(), kind.known.end(), table.names[i]) != kind.known.end();
        if (name_is_date(table.names[i]) && found->is_number())
          row.problem = Problem{Code::date_unreadable, table.names[i], found->dump(),
                                "a JSON number is no date: 2008 the year and 2008.0 the instant would look alike",
                                "Give it as text, \"2028-07-04\""};
        if (!cell && read)
          row.problem = Problem{
              Code::row_malformed, table.names[i], {}, "a nested value has no meaning here", "Give a text or a number"};
        row.cells[i] = cell.value_or(std::string());
      }
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

}  // namespace

std::string_view media_type(Format format) noexcept {
  return format == Format::csv ? "text/csv" : format == Format::json ? "application/json" : "text/plain";
}

std::optional<Format> format_of_name(std::string_view name) noexcept {
  for (const auto& [word, format] :
       {std::pair<std::string_view, Format>{"csv", Format::csv}, {"json", Format::json}, {"text", Format::text}})
    if (name == word || name == media_type(format)) return format;
  return std::nullopt;
}

bool Table::has(std::string_view name) const { return std::find(names.begin(), names.end(), name) != names.end(); }

std::optional<std::string_view> Table::cell(const Row& row, std::string_view name) const {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) return std::nullopt;
  const std::string_view text = trim(row.cells[static_cast<std::size_t>(found - names.begin())]);
  return text.empty() ? std::nullopt : std::optional(text);
}

Result<Table> read_table(const Request& request, const TableKind& kind, Parameters& parameters) {
  auto table =
      request.in == Format::json ? read_json(request.body, kind, parameters) : read_csv(request.body, kind, parameters);
  if (table && table->rows.empty())
    return Problem{Code::missing_value, std::string(kind.rows_name), {}, "there are no rows", "Give one at least"};
  return table;
}

Result<double> number(const Table& table, std::string_view text, std::string_view name) {
  if (const auto value = parse_number(text, table.decimal_mark)) return *value;
  return Problem{Code::not_a_number, std::string(name), std::string(text), "this is no number",
                 "Give a plain number, as 12.5"};
}

Result<double> number(const Parameters& parameters, std::string_view name, double fallback) {
  const auto text = parameters.get(name);
  if (!text) return fallback;
  if (const auto value = parse_number(*text)) return *value;
  return Problem{Code::not_a_number, std::string(name), std::string(*text), "this is no number",
                 "Give a plain number, as 12.5"};
}

Value value_of(const std::optional<double>& number) { return number ? Value(*number) : Value(); }

std::string rows_csv(const Table& table, const std::vector<Added>& added) {
  Text out;
  const auto put = [&](std::string_view text, bool first) {
    if (!first) out += table.delimiter;
    exchange::append_field(text, table.delimiter, out);
  };
  bool first = true;
  for (const std::string& name : table.names) put(name, first), first = false;
  if (!added.empty())
    for (const auto& [name, value] : added.front()) put(name, false);
  out += '\n';
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    first = true;
    for (const std::string& cell : table.rows[i].cells) put(cell, first), first = false;
    for (const auto& [name, value] : added[i]) {
      std::string text;
      if (const auto* number = std::get_if<double>(&value)) {
        text = name.find("azimuth") != std::string_view::npos ? format_azimuth(*number, 3) : format_fixed(*number, 3);
        std::replace(text.begin(), text.end(), '.', table.decimal_mark);
      } else if (const auto* words = std::get_if<std::string>(&value)) {
        text = *words;
      } else if (const auto* codes = std::get_if<std::vector<std::string>>(&value)) {
        for (const std::string& code : *codes) text += (text.empty() ? "" : " ") + code;
      }
      put(text, false);
    }
    out += '\n';
  }
  return std::string(out.view());
}

std::string rows_json(const Table& table, const std::vector<Added>& added) {
  std::string out = "[";
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const Row& row = table.rows[i];
    Json object = row.object.empty() ? Json::object() : Json::parse(row.object, nullptr, false);
    if (row.object.empty())
      for (std::size_t k = 0; k < table.names.size(); ++k)
        object[table.names[k]] = row.cells[k].empty() ? Json() : Json(row.cells[k]);
    for (const auto& [name, value] : added[i]) {
      Json& at = object[std::string(name)];
      if (const auto* number = std::get_if<double>(&value))
        at = *number;
      else if (const auto* words = std::get_if<std::string>(&value))
        at = *words;
      else if (const auto* codes = std::get_if<std::vector<std::string>>(&value))
        at = *codes;
      else
        at = nullptr;
    }
    out += (i == 0 ? "" : ",") + object.dump(-1, ' ', false, Json::error_handler_t::replace);
  }
  return out + "]";
}

}  // namespace agonic::desk
