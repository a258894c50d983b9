#include "model/sightings/sighting.hpp"
#include "model/units/number.hpp"

namespace agonic::sightings {

Result<ReadRules> parse_rules(const Parameters& parameters, std::chrono::sys_days today) {
  ReadRules rules;
  rules.today = today;
  rules.typed = parameters.writer == Writer::person;
  for (const auto& [given, value] : parameters.values) {
    if (const auto column = column_of(given)) {
      rules.defaults[static_cast<std::size_t>(*column)] = trim(value);
      continue;
    }
    if (given == "letters") {
      auto letters = geodesy::parse_letters(value);
      if (!letters) return letters.problem();
      rules.letters = *letters;
    } else if (given == "date_order") {
      auto order = parse_date_order(value);
      if (!order) return order.problem();
      rules.date_order = *order;
    } else if (given == "model") {
      rules.model = lower(trim(value));
    } else if (given != "decimal" && given != "delimiter") {
      const auto near = nearly(given);
      return Problem{Code::unknown_name, printable(given), printable(value), "there is no such parameter",
                     near ? "Did you mean " + std::string(name(*near)) + "?"
                          : "Columns of a sighting, letters, date_order, model, decimal and delimiter are known"};
    }
  }
  return rules;
}

}  // namespace agonic::sightings
