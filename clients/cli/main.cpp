// agonic: declination, settings and corrections on the command line, without server or network.
#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

#include "clients/cli/commands.hpp"
#include "clients/cli/usage_error.hpp"
#include "model/field/cpu.hpp"

namespace {

// The words of the command line. "-.5" becomes "-0.5", which the parser knows as a number and not as an option.
std::vector<std::string> words_of(int argc, char** argv) {
  std::vector<std::string> words(argv + std::min(argc, 1), argv + argc);
  for (std::string& word : words)
    if (word.size() > 2 && word.starts_with("-.") && word[2] >= '0' && word[2] <= '9') word.insert(1, 1, '0');
  return words;
}

}  // namespace

int main(int argc, char** argv) {
  using namespace agonic::cli;
  std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is a failed write, reported like one
  CLI::App app{
      "agonic: compass readings referred to true and grid north.\n\n"
      "  agonic declination 42.283 -71.35 --date 2028-07-04      what the needle is off by, there and then\n"
      "  agonic setting 42.283 -71.35 --date today               what to set on the circle, and until when it holds\n"
      "  agonic correct notes.csv -o out.csv                     a notebook of readings to true directions\n"
      "  agonic review notes.csv                                 a whole data set: what to ask its owner\n"
      "  agonic instrument report                                which instruments need service (asks an agonicd)\n",
      "agonic"};
  app.footer(
      "Exit: 0 done; 1 some or all rows refused; 2 wrong options, missing columns, a mistyped place or date;\n"
      "3 files, server or models failed.\n\n"
      "A model does not know local rock, iron or storms: check against a line of known azimuth or the sun.\n"
      "Not for navigation where life depends on it without an independent check.");
  app.set_version_flag("--version", "agonic " AGONIC_VERSION);
  app.require_subcommand(1);
  app.option_defaults()->multi_option_policy(CLI::MultiOptionPolicy::Throw);
  Common common;
  int exit = kDone;
  add_declination(app, common, exit);
  add_setting(app, common, exit);
  add_sun(app, common, exit);
  add_chart(app, common, exit);
  add_correct(app, common, exit);
  add_review(app, common, exit);
  add_fit(app, common, exit);
  add_traverse(app, common, exit);
  add_rotation(app, common, exit);
  add_swing(app, common, exit);
  add_card(app, common, exit);
  add_route(app, common, exit);
  add_explain(app, common, exit);
  add_models(app, common, exit);
  add_instrument(app, common, exit);
  add_key(app, common, exit);
  add_selftest(app, common, exit);
  const std::vector<std::string> words = words_of(argc, argv);
  common.json = std::find(words.begin(), words.end(), "--json") != words.end();  // for what is told before it is read
  if (const char* cpu = std::getenv("AGONIC_CPU"))
    if (const auto chosen = agonic::field::force_cpu(cpu); !chosen) return report(chosen.problem(), common.json);
  try {
    app.parse(std::vector<std::string>(words.rbegin(), words.rend()));  // CLI11 takes the last word first
  } catch (const CLI::Success& help_or_version) {
    return app.exit(help_or_version);
  } catch (const CLI::ParseError& error) {
    report(usage_problem(app, error, words), common.json);
    return kWrongUse;
  } catch (const UsageFault& error) {
    report_failure(error.what(), common.json);
    return kWrongUse;
  } catch (const std::exception& error) {
    report_failure(error.what(), common.json);
    return kFailed;
  }
  std::cout.flush();
  if (!std::cout) {
    report_failure("standard output cannot be written", common.json);
    return kFailed;
  }
  return exit;
}
