#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "clients/cli/commands.hpp"
#include "clients/cli/instrument_text.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/registry_client.hpp"

namespace agonic::cli {
namespace {

using nlohmann::json;

struct Words {
  RegistryOptions registry;
  std::string id, team, name, scope = "write";
};

int add_one(const Words& words, const Common& common) {
  const json body{{"team", words.team}, {"name", words.name}, {"scope", words.scope}};
  const Reply reply = ask_registry(common, words.registry, "POST", "/v1/keys",
                                   body.dump(-1, ' ', false, json::error_handler_t::replace));
  if (!reply.fine()) return reply.exit;
  if (common.json) {
    std::cout << reply.body << '\n';
    return kDone;
  }
  const auto answer = json::parse(reply.body);
  std::cout << answer.value("key", "") << '\n';  // alone, so that it can go straight into a file
  std::cerr << "Key " << answer.value("id", "") << " of team " << answer.value("team", "") << ", " << words.scope
            << ". It is shown this once: keep it in a file that only you can read.\n";
  return kDone;
}

int list(const Words& words, const Common& common) {
  const Reply reply = ask_registry(common, words.registry, "GET", "/v1/keys");
  if (!reply.fine()) return reply.exit;
  std::cout << (common.json ? reply.body + "\n" : keys_text(json::parse(reply.body)));
  return kDone;
}

int revoke(const Words& words, const Common& common) {
  const Reply reply = ask_registry(common, words.registry, "DELETE", "/v1/keys/" + url_encoded(words.id));
  if (!reply.fine()) return reply.exit;
  if (!common.json) std::cout << words.id << " is revoked\n";
  return kDone;
}

}  // namespace

void add_key(CLI::App& app, Common& common, int& exit) {
  CLI::App* group = app.add_subcommand("key", "Keys to the registry of an agonicd (operator's key)");
  group->require_subcommand(1);
  const auto add = [&](const char* name, const char* help, int (*action)(const Words&, const Common&),
                       const char* example) {
    auto words = std::make_shared<Words>();
    CLI::App* command = group->add_subcommand(name, help);
    add_registry_options(*command, common, words->registry);
    command->footer(std::string("Example:\n  agonic key ") + example);
    command->callback([words, action, &common, &exit] { exit = action(*words, common); });
    return std::pair(command, words);
  };
  const auto made = add("add", "Makes a key and prints it, once", add_one,
                        "add --team survey --name \"field notebook\" --key-file operator.key >survey.key");
  made.first->add_option("--team", made.second->team, "whose instruments it opens")->required();
  made.first->add_option("--name", made.second->name, "who or what uses it: stands in the history")->required();
  made.first->add_option("--scope", made.second->scope, "read or write")->capture_default_str();
  add("list", "All keys, without their secrets", list, "list --key-file operator.key");
  const auto revoked = add("revoke", "Ends a key at once", revoke, "revoke k_1f2e3d4c --key-file operator.key");
  revoked.first->add_option("id", revoked.second->id, "id of the key")->required();
}

}  // namespace agonic::cli
