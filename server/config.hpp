// What an operator can set: options of agonicd, or AGONIC_* in the environment.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>

namespace agonic::server {

struct Config {
  /// Address to listen on; AGONIC_HOST. Loopback, because a proxy belongs in front (deploy/). Change it only where
  /// the network is your own.
  std::string host = "127.0.0.1";
  /// Port; AGONIC_PORT. 0 takes a free one: with port_file, for tests and supervisors.
  int port = 8080;
  /// The port is written here, atomically, once it listens; AGONIC_PORT_FILE. Empty: nowhere.
  std::string port_file;
  /// Folder with coefficient files newer than the program; AGONIC_COEFFICIENTS. Empty: none. Read at the start only.
  std::string coefficients;
  /// Connections served at once, one sleeping thread each; AGONIC_THREADS. 600 held 500 silent clients off in 16 MB.
  /// Raise it for more clients that keep connections open.
  std::size_t threads = 600;
  /// Connections waiting for a thread before others get 503; AGONIC_QUEUE. By waiting time: 1000 are done in well
  /// under a second.
  std::size_t queue = 1000;
  /// Lookups computed at once; AGONIC_LOOKUPS. 0: twice the cores.
  std::size_t lookups = 0;
  /// Batches open at once; AGONIC_BATCHES. Each may hold a few MiB and a temporary file; they are computed by as many
  /// threads as there are cores, which give way to lookups. Lower it where disk or memory is short.
  std::size_t batches = 32;
  /// Bytes of one upload after inflation; AGONIC_MAX_UPLOAD. Set the proxy's own limit a little above.
  std::uint64_t max_upload = std::uint64_t{1} << 30;
  /// Bytes of one result; AGONIC_MAX_RESULT. Results are several times their input; the temporary folder (TMPDIR)
  /// must hold them.
  std::uint64_t max_result = std::uint64_t{8} << 30;
  /// Seconds that requests in flight may take after SIGTERM; AGONIC_DRAIN. Keep it below the supervisor's patience.
  int drain_s = 30;
  /// Where the registry of instruments is kept; AGONIC_REGISTRY. Empty: registry.sqlite in the state folder; a file;
  /// postgresql://… for several servers; none. Give an address with a password by the environment: options can be
  /// read by every user of the machine.
  std::string registry;
  /// Folder of the registry and of the operator's key; AGONIC_STATE_DIR. Empty: $STATE_DIRECTORY (systemd),
  /// $XDG_STATE_HOME/agonic, ~/.local/state/agonic.
  std::string state_dir;
  /// Registry calls a minute for each key; AGONIC_REGISTRY_RATE. As many may come at once.
  unsigned registry_rate = 600;
  /// A backup to put in place of the registry's file before serving. Empty: none.
  std::string restore;
};

/// The exit code, after help, version or a complaint has been printed.
struct EndNow {
  int exit_code = 0;
};

/// Reads options, then the environment for those not given. Prints --help and --version on standard output and
/// complaints on standard error; wrong options end with 2.
std::variant<Config, EndNow> parse_config(int argc, const char* const* argv);

}  // namespace agonic::server
