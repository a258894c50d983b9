#include <iostream>
#include <nlohmann/json.hpp>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/remote.hpp"
#include "coefficients/folder.hpp"
#include "model/field/selftest.hpp"
#include "model/lookup/lookup.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

std::string padded(std::string text, std::size_t width) {
  if (text.size() < width) text.append(width - text.size(), ' ');
  return text;
}

int run_models(const Common& common) {
  if (!common.server.empty()) return remote_get(common, "/v1/models");
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  if (common.json) {
    std::cout << lookup::models_json(catalogue) << '\n';
    return kDone;
  }
  for (const auto& model : catalogue.models())
    std::cout << padded(model->id, 12) << format_fixed(model->valid_from, 1) << " to "
              << format_fixed(model->valid_to, 1) << "  degree " << padded(std::to_string(model->degree), 4)
              << "doi:" << model->doi << "  " << model->title << '\n';
  std::cout << "auto serves " << format_fixed(catalogue.first_year(), 1) << " to "
            << format_fixed(catalogue.last_year(), 1) << '\n';
  return kDone;
}

int run_selftest(const Common& common) {
  const field::Catalogue catalogue(coefficient_texts(common.coefficients));
  const auto rows = field::selftest(catalogue);
  const bool passed = field::all_passed(rows);
  if (common.json) {
    auto out = nlohmann::ordered_json::array();
    for (const auto& row : rows)
      out.push_back({{"name", row.name},
                     {"model", row.model},
                     {"source", row.source},
                     {"values", row.values},
                     {"wrong", row.wrong},
                     {"worst", row.worst},
                     {"passed", row.passed()}});
    std::cout << nlohmann::ordered_json{{"passed", passed}, {"checks", out}}.dump() << '\n';
  } else {
    for (const auto& row : rows) {
      std::cout << (row.passed() ? "ok      " : "FAILED  ") << padded(row.name, 34) << row.values << " values, "
                << row.wrong << " wrong  [" << row.source << "]\n";
      if (!row.worst.empty()) std::cout << "        " << row.worst << '\n';
    }
    std::cout << (passed ? "every published value is reproduced to its last printed digit\n"
                         : "the models must not be used\n");
  }
  return passed ? kDone : kFailed;
}

}  // namespace

void add_models(CLI::App& app, Common& common, int& exit) {
  CLI::App* command = app.add_subcommand("models", "The field models at hand, their spans and sources");
  add_common(*command, common);
  command->footer("Example:\n  agonic models --coefficients newer/");
  command->callback([&common, &exit] { exit = run_models(common); });
}

void add_selftest(CLI::App& app, Common& common, int& exit) {
  CLI::App* command = app.add_subcommand("selftest", "Compares the models with their published check values");
  add_common(*command, common);
  command->footer("Example:\n  agonic selftest");
  command->callback([&common, &exit] { exit = run_selftest(common); });
}

}  // namespace agonic::cli
