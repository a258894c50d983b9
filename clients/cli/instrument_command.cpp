#include <sys/stat.h>

#include <fstream>
#include <iostream>
#include <iterator>
#include <memory>
#include <nlohmann/json.hpp>

#include "clients/cli/commands.hpp"
#include "clients/cli/instrument_text.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/output_file.hpp"
#include "clients/cli/registry_client.hpp"
#include "model/field/sha256.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

using nlohmann::json;

// Everything that the words of one call can say; each action reads its own.
struct Words {
  RegistryOptions registry;
  std::string id, why, file, date, from, until, how, kind = "azimuth";
  std::vector<std::string> value;
  std::optional<int> sightings;
  std::optional<double> sigma, graduation, clinometer, hinge;
  std::string circle, east_turn;
  std::optional<std::string> note;
  bool fixed = false, turnable = false, history = false;
};
using Action = std::function<int(const Words&, const Common&)>;

int show(const Reply& reply, const Common& common, std::string (*as_text)(const json&)) {
  if (!reply.fine()) return reply.exit;
  const auto answer = common.json ? json() : json::parse(reply.body, nullptr, false);
  if (common.json || !answer.is_object())
    std::cout << reply.body << '\n';
  else
    std::cout << as_text(answer);
  return kDone;
}

std::string dump(const json& body) { return body.dump(-1, ' ', false, json::error_handler_t::replace); }

void put_description(const Words& words, json& body) {
  if (!words.circle.empty()) body["circle"] = words.circle;
  if (words.fixed || words.turnable) body["turnable"] = words.turnable;
  if (words.graduation) body["graduation_deg"] = *words.graduation;
  if (!words.east_turn.empty()) body["east_turn"] = words.east_turn;
  if (words.clinometer) body["clinometer_graduation_deg"] = *words.clinometer;
  if (words.hinge) body["hinge_graduation_deg"] = *words.hinge;
  if (words.note) body["note"] = *words.note;
  body["why"] = words.why;
}

void put_span(const Words& words, json& body) {
  body["from"] = words.from;
  if (!words.until.empty()) body["until"] = words.until;
  body["why"] = words.why;
}

int list(const Words& words, const Common& common) {
  return show(ask_registry(common, words.registry, "GET", "/v1/instruments"), common, list_text);
}

int show_one(const Words& words, const Common& common) {
  std::string path = instrument_path(words.id) + (words.history ? "?history=yes" : "");
  if (!words.date.empty()) path += (words.history ? "&date=" : "?date=") + url_encoded(words.date);
  return show(ask_registry(common, words.registry, "GET", path), common, record_text);
}

int add_one(const Words& words, const Common& common) {
  json body{{"id", words.id}};
  put_description(words, body);
  return show(ask_registry(common, words.registry, "POST", "/v1/instruments", dump(body)), common, record_text);
}

// What is not said stays as it is, and a change that came in between is not passed over.
int change_one(const Words& words, const Common& common) {
  const std::string path = instrument_path(words.id);
  const Reply present = ask_registry(common, words.registry, "GET", path);
  if (!present.fine()) return present.exit;
  json body = json::parse(present.body).at("description");
  for (const char* name : {"version", "who", "when", "why"}) body.erase(name);
  put_description(words, body);
  const auto tag = present.headers.find("etag");
  return show(
      ask_registry(common, words.registry, "PUT", path, dump(body), tag == present.headers.end() ? "*" : tag->second),
      common, record_text);
}

int index_error(const Words& words, const Common& common) {
  json body{{"kind", words.kind}};
  json numbers = json::array();
  for (const std::string& word : words.value) {
    const auto number = parse_number(word);
    if (!number && !(words.value.size() == 1 && lower(word) == "unknown"))
      return report({Code::not_a_number, "value", word, "this is no number",
                     "Give reading minus truth in degrees: one number, the five A B C D E, or unknown"},
                    common.json);
    if (number) numbers.push_back(*number);
  }
  body["error_deg"] = numbers.empty() ? json() : numbers.size() == 1 ? numbers[0] : numbers;
  if (words.sigma) body["sigma_deg"] = *words.sigma;
  if (!words.how.empty()) body["how"] = words.how;
  if (words.sightings) body["sightings"] = *words.sightings;
  put_span(words, body);
  return show(ask_registry(common, words.registry, "POST", instrument_path(words.id) + "/index-errors", dump(body)),
              common, record_text);
}

int setting(const Words& words, const Common& common) {
  std::string text;
  for (const std::string& word : words.value) text += (text.empty() ? "" : " ") + word;
  // As everywhere a person types: a number without side is asked back, 0 and unknown are plain.
  const bool bare = parse_number(text) && text.find_first_of("+-") == std::string::npos && parse_number(text) != 0.0;
  if (bare)
    return report({Code::declination_unsigned, "value", text, "east or west?", "Write " + text + "E or " + text + "W"},
                  common.json);
  json body{{"set_declination", text}};
  put_span(words, body);
  return show(ask_registry(common, words.registry, "POST", instrument_path(words.id) + "/settings", dump(body)), common,
              record_text);
}

int write_file(const std::string& path, const std::string& bytes) {
  OutputFile out(path);
  out.write(bytes);
  out.commit();
  return kDone;
}

int dump_all(const Words& words, const Common& common) {
  const Reply reply = ask_registry(common, words.registry, "GET", "/v1/registry/dump");
  return reply.fine() ? write_file(words.file, reply.body + "\n") : reply.exit;
}

int import_all(const Words& words, const Common& common) {
  std::ifstream file(words.file, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(words.file == "-" ? std::cin : file), {}};
  if (words.file != "-" && !file.is_open()) {
    report_failure(words.file + ": cannot be read", common.json);
    return kFailed;
  }
  const Reply reply = ask_registry(common, words.registry, "POST", "/v1/registry/import", text.empty() ? " " : text);
  if (!reply.fine()) return reply.exit;
  const auto answer = json::parse(reply.body);
  if (common.json) {
    std::cout << reply.body << '\n';
  } else {
    std::cout << answer.at("imported").size() << " imported, " << answer.at("refused").size() << " refused\n";
    for (const auto& one : answer.at("refused"))
      std::cerr << printable(one.value("instrument", ""), 100) << ": " << printable(one.value("detail", ""), 300)
                << ". " << one.value("remedy", "") << '\n';
  }
  return answer.at("refused").empty() ? kDone : kRowsRefused;
}

int service_report(const Words& words, const Common& common) {
  const std::string query = words.date.empty() ? "" : "?date=" + url_encoded(words.date);
  return show(ask_registry(common, words.registry, "GET", "/v1/registry/report" + query), common, report_text);
}

int backup(const Words& words, const Common& common) {
  const Reply reply = ask_registry(common, words.registry, "GET", "/v1/registry/backup");
  if (!reply.fine()) return reply.exit;
  const auto promised = reply.headers.find("agonic-sha256");
  if (!reply.body.starts_with(std::string_view("SQLite format 3\0", 16)) || promised == reply.headers.end() ||
      promised->second != field::sha256(reply.body)) {
    report_failure("what came is no whole backup: nothing is written. Try again", common.json);
    return kFailed;
  }
  ::umask(077);  // records of all teams
  write_file(words.file, reply.body);
  std::cerr << words.file << ": " << reply.body.size() << " bytes, verified. Put it in place with: agonicd --restore "
            << words.file << '\n';
  return kDone;
}

void add_description_options(CLI::App& command, const std::shared_ptr<Words>& words) {
  command.add_option("--circle", words->circle, "azimuth (figures 0 to 360) or quadrant");
  command.add_flag("--fixed", words->fixed, "the circle cannot be turned");
  command.add_flag("--turnable", words->turnable, "the circle can be turned")->excludes("--fixed");
  command.add_option("--graduation", words->graduation, "smallest division of the circle, degrees");
  command.add_option("--east-turn", words->east_turn, "clockwise or counterclockwise, for an easterly declination");
  command.add_option("--clinometer-graduation", words->clinometer, "smallest division of the clinometer, degrees");
  command.add_option("--hinge-graduation", words->hinge, "smallest division of the hinge, degrees");
  command.add_option("--note", words->note, "free text");
}

void add_span_options(CLI::App& command, const std::shared_ptr<Words>& words) {
  command.add_option("--from", words->from, "first day on which it holds, as 2026-03-01 or today")->required();
  command.add_option("--until", words->until, "last day; left out: until the next is recorded");
}

}  // namespace

void add_instrument(CLI::App& app, Common& common, int& exit) {
  CLI::App* group = app.add_subcommand("instrument", "What each instrument reads wrong, kept by an agonicd");
  group->require_subcommand(1);
  const auto add = [&](const char* name, const char* help, const Action& action, const char* example) {
    auto words = std::make_shared<Words>();
    CLI::App* command = group->add_subcommand(name, help);
    add_registry_options(*command, common, words->registry);
    command->footer(std::string("Example:\n  agonic instrument ") + example);
    command->callback([words, action, &common, &exit] { exit = action(*words, common); });
    return std::pair(command, words);
  };
  const auto with_id = [](const auto& made) {
    made.first->add_option("id", made.second->id, "id of the instrument")->required();
  };
  const auto with_why = [](const auto& made) {
    made.first->add_option("--why", made.second->why, "why it is changed: kept with the change")->required();
  };

  add("list", "Those of your team", list, "list");
  const auto shown = add("show", "One record", show_one, "show BR-07 --date 2026-07-01");
  with_id(shown);
  shown.first->add_flag("--history", shown.second->history, "earlier descriptions too");
  shown.first->add_option("--date", shown.second->date, "also what held on that day");
  const auto added = add("add", "Records a new instrument", add_one,
                         "add BR-07 --graduation 1 --note \"pocket, black\" --why \"new in the set\"");
  with_id(added);
  add_description_options(*added.first, added.second);
  with_why(added);
  const auto changed = add("change", "Mends the description; what is not named stays", change_one,
                           "change BR-07 --graduation 0.5 --why \"was mistyped\"");
  with_id(changed);
  add_description_options(*changed.first, changed.second);
  with_why(changed);
  const auto error = add(
      "index-error", "Records what it reads wrong: reading minus truth", index_error,
      "index-error BR-07 0.4 --sigma 0.2 --from 2026-03-01 --how \"known line\" --sightings 8 --why \"spring check\"");
  with_id(error);
  error.first->add_option("value", error.second->value, "degrees; or the five A B C D E; or unknown")
      ->required()
      ->expected(1, 5);
  error.first->add_option("--kind", error.second->kind, "azimuth, vertical or dip")->capture_default_str();
  error.first->add_option("--sigma", error.second->sigma, "its 1-sigma, degrees");
  add_span_options(*error.first, error.second);
  error.first->add_option("--how", error.second->how, "how it was found, as \"known line\"");
  error.first->add_option("--sightings", error.second->sightings, "from how many sightings");
  with_why(error);
  const auto set = add("setting", "Records what was set on the circle", setting,
                       "setting BR-07 13.5W --from 2026-04-01 --why \"set for the season\"");
  with_id(set);
  set.first->add_option("value", set.second->value, "13.5W, -13.5, 0 or unknown")->required()->expected(1, 3);
  add_span_options(*set.first, set.second);
  with_why(set);
  const auto dumped = add("dump", "All records of your team as JSON, for --instruments or another service", dump_all,
                          "dump -o instruments.json");
  dumped.first->add_option("-o,--output", dumped.second->file, "file; standard output without it");
  const auto imported =
      add("import", "Takes a dump in; records that are there already are left", import_all, "import instruments.json");
  imported.first->add_option("file", imported.second->file, "a dump; - reads standard input")->required();
  const auto report = add("report", "Which instruments need service", service_report, "report");
  report.first->add_option("--date", report.second->date, "as on that day; else today");
  const auto saved = add("backup", "A verified copy of the whole registry (operator's key)", backup,
                         "backup registry-2026-11.sqlite --key-file operator.key");
  saved.first->add_option("file", saved.second->file, "where to")->required();
}

}  // namespace agonic::cli
