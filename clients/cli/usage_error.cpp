#include "clients/cli/usage_error.hpp"

#include <string_view>

#include "model/units/prose.hpp"

namespace agonic::cli {
namespace {

// "Did you mean X? " for the nearest name, if it is near enough to be a slip.
std::string nearest(const std::string& word, const std::vector<std::string>& names) {
  const std::vector<std::string_view> views(names.begin(), names.end());
  const std::string_view best = nearest_name(word, views);
  return best.empty() ? std::string() : "Did you mean " + std::string(best) + "? ";
}

}  // namespace

Problem usage_problem(const CLI::App& app, const CLI::ParseError& error, const std::vector<std::string>& words) {
  const auto chosen = app.get_subcommands();
  if (chosen.empty()) {
    std::vector<std::string> commands;
    std::string list;
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
      commands.push_back(command->get_name());
      list += (list.empty() ? "" : ", ") + command->get_name();
    }
    if (words.empty())
      return {Code::missing_value, "command", "", "no command is given", "Give one of " + list + "; see agonic --help"};
    return {Code::unknown_name, "command", words.front(), "there is no such command",
            nearest(words.front(), commands) + "The commands are " + list + "; see agonic --help"};
  }
  const CLI::App* deepest = chosen.front();
  std::string path = deepest->get_name();
  while (!deepest->get_subcommands().empty()) {
    deepest = deepest->get_subcommands().front();
    path += " " + deepest->get_name();
  }
  const CLI::App& command = *deepest;
  const std::string help = "See agonic " + path + " --help";
  const auto left = command.remaining();
  if (const auto actions = command.get_subcommands([](const CLI::App*) { return true; }); !actions.empty()) {
    std::string list;
    std::vector<std::string> names;
    for (const CLI::App* action : actions) {
      names.push_back(action->get_name());
      list += (list.empty() ? "" : ", ") + action->get_name();
    }
    const std::string given = left.empty() || left.front().starts_with('-') ? "" : left.front();
    return {given.empty() ? Code::missing_value : Code::unknown_name, path, given,
            given.empty() ? "what to do is not said" : "there is no such action",
            (given.empty() ? "" : nearest(given, names)) + "Give one of " + list + "; see agonic " + path + " --help"};
  }
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr) {
    const std::string what = error.what();  // begins with the option
    return {Code::missing_value, what.substr(0, what.find(':')), "", "its value is missing, or there are too many",
            help};
  }
  if (left.empty()) return {Code::missing_value, "", "", error.what(), help};
  if (left.front().size() < 2 || left.front().front() != '-')
    return {Code::unknown_name, "", left.front(), "one word too many", help};
  std::vector<std::string> options;
  for (const CLI::Option* option : command.get_options())
    for (const std::string& name : option->get_lnames()) options.push_back("--" + name);
  const std::string typed = left.front().substr(0, left.front().find('='));
  return {Code::unknown_name, typed, "", "there is no such option", nearest(typed, options) + help};
}

}  // namespace agonic::cli
