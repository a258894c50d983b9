#include "model/exchange/options.hpp"

#include <algorithm>

#include "model/reading/read_row.hpp"
#include "model/units/number.hpp"
#include "model/units/yes.hpp"

namespace agonic::exchange {
namespace {

Problem unknown_value(std::string_view name, std::string_view value, std::string remedy) {
  return {Code::unknown_name, std::string(name), std::string(value), "this value is not known", std::move(remedy)};
}

template <class T>
std::optional<Problem> take(Result<T> parsed, T& into) {
  if (!parsed) return parsed.problem();
  into = *std::move(parsed);
  return std::nullopt;
}

std::optional<Problem> set_option(Options& options, std::string_view name, const std::string& value) {
  const std::string word = lower(trim(value));
  if (name == "letters") return take(geodesy::parse_letters(value), options.rules.letters);
  if (name == "date_order") return take(parse_date_order(value), options.rules.date_order);
  if (name == "force_unusable") return take(parse_yes(value, name), options.rules.force_unusable);
  if (name == "again") return take(parse_yes(value, name), options.again);
  if (name == "model") {
    options.rules.model = word;
  } else if (name == "datum") {
    if (word != "wgs84") return unknown_value(name, value, "Give wgs84, or transform the coordinates to it first");
    options.rules.datum_stated = true;
  } else if (name == "decimal") {
    if (word == "point" || word == ".")
      options.decimal_mark = '.';
    else if (word == "comma" || word == ",")
      options.decimal_mark = ',';
    else
      return unknown_value(name, value, "Give point or comma");
    options.rules.cell_mark = *options.decimal_mark;
  } else if (name == "delimiter") {
    if (word == "comma" || value == ",")
      options.delimiter = ',';
    else if (word == "semicolon" || value == ";")
      options.delimiter = ';';
    else if (word == "tab" || value == "\t")
      options.delimiter = '\t';
    else
      return unknown_value(name, value, "Give comma, semicolon or tab");
  }
  return std::nullopt;
}

bool is_option(std::string_view name) {
  return std::find(kOptionNames.begin(), kOptionNames.end(), name) != kOptionNames.end();
}

std::optional<Problem> set_named(Options& options, std::string_view name, std::optional<std::string> value) {
  using reading::Column;
  const auto column = reading::column_of(name);
  if (!value && column != Column::set_declination && column != Column::north_reference && (column || is_option(name)))
    return std::nullopt;
  if (column) {
    options.rules.defaults[static_cast<std::size_t>(*column)] = value ? std::move(value) : std::string("unknown");
    return std::nullopt;
  }
  if (is_option(name)) return set_option(options, name, value.value_or(""));
  return Problem{Code::unknown_name, std::string(name), value.value_or("null"), "no column or option has this name",
                 "Columns: azimuth, dip, plunge, set_declination, north_reference and so on; options: model, letters, "
                 "date_order, decimal, delimiter, force_unusable, again, datum"};
}

}  // namespace

Result<Options> parse_options(const Parameters& parameters, std::chrono::sys_days today) {
  Options options;
  options.rules.today = today;
  for (const auto& [name, value] : parameters.values)
    if (!value.empty()) {
      if (auto problem = set_named(options, name, value)) return *problem;
      if (const auto column = reading::column_of(name))
        options.rules.typed[static_cast<std::size_t>(*column)] = parameters.writer == Writer::person;
    }
  if (auto problem = reading::check_defaults(options.rules)) return *problem;
  return options;
}

std::optional<Problem> check_model(const Options& options, const field::Catalogue& catalogue) {
  const std::string& model = options.rules.model;
  if (model == "auto" || catalogue.find(model) != nullptr) return std::nullopt;
  const auto choice = catalogue.choose(model, 2000);
  return choice ? std::nullopt : std::optional(choice.problem());
}

std::optional<Problem> add_default(Options& options, const Parameters& given, std::string_view name,
                                   std::optional<std::string> value) {
  if (given.get(name)) return std::nullopt;
  if (auto problem = set_named(options, name, std::move(value))) {
    problem->field = "defaults." + problem->field;
    return problem;
  }
  return std::nullopt;
}

}  // namespace agonic::exchange
