#include "server/config.hpp"

#include <CLI/CLI.hpp>
#include <iostream>

namespace agonic::server {
namespace {

constexpr const char* kAbout =
    "agonicd answers over HTTP: the declination for a place and date, what to set on a compass, and notebooks of\n"
    "readings turned into true directions. It keeps what is known of each instrument.\n";
constexpr const char* kExamples =
    "\nExamples:\n"
    "  agonicd                                   serve on http://127.0.0.1:8080/\n"
    "  agonicd --port 0 --port-file /run/port    any free port, written to the file\n"
    "  agonicd --coefficients /srv/models        with coefficient files newer than the program\n"
    "  agonicd --restore backup.sqlite           with the registry of instruments as it was backed up\n"
    "\nA proxy belongs in front of it on any network that is not your own. Stop it with SIGTERM.\n";

}  // namespace

std::variant<Config, EndNow> parse_config(int argc, const char* const* argv) {
  Config config;
  CLI::App app{kAbout, "agonicd"};
  app.footer(kExamples);
  app.set_version_flag("--version", std::string("agonicd " AGONIC_VERSION));
  const auto option = [&](const char* name, auto& value, const char* variable, const char* help) {
    return app.add_option(name, value, help)->envname(variable)->capture_default_str();
  };
  option("--host", config.host, "AGONIC_HOST", "address to listen on");
  option("--port", config.port, "AGONIC_PORT", "port; 0 takes a free one")->check(CLI::Range(0, 65535));
  option("--port-file", config.port_file, "AGONIC_PORT_FILE", "file to write the port to once it listens");
  option("--coefficients", config.coefficients, "AGONIC_COEFFICIENTS", "folder with newer coefficient files");
  option("--threads", config.threads, "AGONIC_THREADS", "connections served at once")->check(CLI::Range(1, 20000));
  option("--queue", config.queue, "AGONIC_QUEUE", "connections waiting for a thread")->check(CLI::Range(0, 100000));
  option("--lookups", config.lookups, "AGONIC_LOOKUPS", "lookups computed at once; 0: twice the cores")
      ->check(CLI::Range(0, 10000));
  option("--batches", config.batches, "AGONIC_BATCHES", "batches open at once")->check(CLI::Range(1, 10000));
  option("--max-upload", config.max_upload, "AGONIC_MAX_UPLOAD", "bytes of one upload, after inflation");
  option("--max-result", config.max_result, "AGONIC_MAX_RESULT", "bytes of one result");
  option("--drain", config.drain_s, "AGONIC_DRAIN", "seconds to finish requests after SIGTERM")
      ->check(CLI::Range(0, 3600));
  option("--registry", config.registry, "AGONIC_REGISTRY",
         "where instruments are kept: a file, postgresql://..., or none; else registry.sqlite in the state folder");
  option("--state-dir", config.state_dir, "AGONIC_STATE_DIR",
         "state folder; else $STATE_DIRECTORY, $XDG_STATE_HOME/agonic, ~/.local/state/agonic");
  option("--registry-rate", config.registry_rate, "AGONIC_REGISTRY_RATE", "registry calls a minute for each key")
      ->check(CLI::Range(1, 1000000));
  app.add_option("--restore", config.restore, "backup file to put in place of the registry's, before serving");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return EndNow{app.exit(error, std::cout, std::cerr) == 0 ? 0 : 2};
  }
  return config;
}

}  // namespace agonic::server
