// What a code means: the catalogue on a terminal.
#include <iostream>
#include <memory>

#include "clients/cli/commands.hpp"
#include "model/checks/catalogue.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

int run(const std::vector<std::string>& codes, const Common& common) {
  if (codes.empty()) {
    std::cout << (common.json ? checks::list_json() + "\n" : checks::list_text());
    return kDone;
  }
  bool first = true;
  for (const std::string& code : codes) {
    const checks::Entry* entry = checks::find(lower(trim(code)));
    if (entry == nullptr) {
      const std::string_view near = checks::nearest(lower(trim(code)));
      return report({Code::unknown_name, "code", code, "there is no such code",
                     (near.empty() ? std::string() : "Did you mean " + std::string(near) + "? ") +
                         "agonic explain lists them all"},
                    common.json);
    }
    if (!first && !common.json) std::cout << '\n';
    first = false;
    std::cout << (common.json ? to_json(*entry) + "\n" : to_text(*entry));
  }
  return kDone;
}

}  // namespace

void add_explain(CLI::App& app, Common& common, int& exit) {
  auto codes = std::make_shared<std::vector<std::string>>();
  CLI::App* command =
      app.add_subcommand("explain", "What a code means (of a check, a refusal, a note), and what to do");
  command->add_option("code", *codes, "one or more codes, as setting-stale; without any all are listed")
      ->option_text("CODE");
  command->add_flag("--json", common.json, "as JSON");
  command->footer(
      "Codes stand in the column checks, in summaries and notes, and at the end of messages in brackets.\n"
      "Examples:\n"
      "  agonic explain setting-stale\n"
      "  agonic explain");
  command->callback([codes, &common, &exit] { exit = run(*codes, common); });
}

}  // namespace agonic::cli
