// agonicd: reads its options, loads and checks the models, serves until SIGTERM.
#include <pthread.h>
#include <unistd.h>

#include <atomic>
#include <csignal>
#include <cstdlib>
#include <ctime>
#include <iostream>
#include <thread>

#include "coefficients/folder.hpp"
#include "model/field/cpu.hpp"
#include "server/config.hpp"
#include "server/files.hpp"
#include "server/http/http_server.hpp"
#include "server/log.hpp"
#include "server/model_engine.hpp"
#include "server/registry/place.hpp"
#include "server/registry/registry.hpp"
#include "server/registry/sqlite_database.hpp"
#include "server/service.hpp"

namespace {

using namespace agonic;
using namespace agonic::server;

constexpr int kFailed = 3;  // files, models or the port: as the command's exit codes

// The signals that end the service wait here, in a thread of their own, and interrupt no other.
class StopSignals {
 public:
  StopSignals() {
    ::sigemptyset(&set_);
    ::sigaddset(&set_, SIGTERM);
    ::sigaddset(&set_, SIGINT);
    ::pthread_sigmask(SIG_BLOCK, &set_, nullptr);  // before any thread is made
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);  // a limit on files is a failed write, told like a full disk
  }
  ~StopSignals() {
    done_ = true;
    if (thread_.joinable()) thread_.join();
  }
  StopSignals(const StopSignals&) = delete;
  StopSignals& operator=(const StopSignals&) = delete;

  template <class Stop>
  void on_first(Stop stop) {
    thread_ = std::thread([this, stop] {
      for (bool stopping = false; !done_;) {
        const timespec wait{0, 100'000'000};
        if (::sigtimedwait(&set_, nullptr, &wait) < 0) continue;
        if (stopping) ::_exit(1);  // asked twice: at once
        stopping = true;
        stop();
      }
    });
  }

 private:
  sigset_t set_{};
  std::atomic<bool> done_ = false;
  std::thread thread_;
};

// Everything about the registry that the start has to settle. It stands where the service can outlive none of it.
class Instruments {
 public:
  Instruments(const Config& config, const registry::Place& place, Log& log, const Clock& clock) {
    if (place.kind == registry::Place::Kind::none) {
      log.event("info", "no registry of instruments is kept");
      return;
    }
    registry_ = std::make_unique<registry::Registry>(registry::open_store(place), clock);
    const auto trouble = registry_->trouble();
    log.event(trouble ? "error" : "info", trouble
                                              ? "registry of instruments: " + *trouble + "; lookups go on without it"
                                              : "registry of instruments is open");
    const registry::OperatorKey key = registry::operator_key(place.operator_key);
    if (!key.trouble.empty()) log.event("error", "no operator's key (operator.key): " + key.trouble);
    if (key.made) log.event("info", "an operator's key was written beside the registry, operator.key");
    access = {registry_.get(), key.digest, !place.by_default && !config.registry.empty()};
  }
  RegistryAccess access;

 private:
  std::unique_ptr<registry::Registry> registry_;
};

int restore(const Config& config, const registry::Place& place, Log& log) {
  if (place.kind != registry::Place::Kind::sqlite) {
    std::cerr
        << "agonicd: --restore puts a file in place; a registry in PostgreSQL is restored with psql or pg_restore\n";
    return 2;
  }
  try {
    const std::string kept = registry::restore_sqlite(config.restore, place.where);
    log.event("info", kept.empty() ? "the backup is in place"
                                   : "the backup is in place; the registry before it is kept beside it");
    return 0;
  } catch (const registry::StoreFailure& failure) {
    std::cerr << "agonicd: " << config.restore << " is not restored: " << failure.what() << '\n';
    return kFailed;
  }
}

int serve(const Config& config) {
  StopSignals signals;
  const Clock clock = [] { return std::chrono::system_clock::now(); };
  const std::unique_ptr<Log> log = Log::to_standard_error();
  ModelEngine engine(coefficient_texts(config.coefficients), clock);
  if (!engine.ready()) log->event("error", "self-check failed, /readyz says so: " + engine.failures());
  const registry::Place place =
      registry::place_of(config.registry, config.state_dir, [](const char* name) { return std::getenv(name); });
  if (!config.restore.empty())
    if (const int failed = restore(config, place, *log); failed != 0) return failed;
  const Instruments instruments(config, place, *log, clock);
  Service service(config, engine, *log, clock, instruments.access);

  HttpOptions options;
  options.threads = config.threads;
  options.queue = config.queue;
  options.drain = std::chrono::seconds(config.drain_s);
  HttpServer server(options, {[&](const Request& request, BodyReader& body) { return service.handle(request, body); },
                              [&](const Fault& fault) { return service.handle_fault(fault); },
                              [&] { return service.handle_busy(); }});
  const int port = server.bind(config.host, config.port);
  if (port == 0) {
    std::cerr << "agonicd: cannot listen on " << config.host << " port " << config.port
              << ": another program holds it, or the address is not of this machine\n";
    return kFailed;
  }
  if (!config.port_file.empty()) write_atomically(config.port_file, std::to_string(port) + "\n");
  log->event("info", "listening on " + config.host + " port " + std::to_string(port));

  signals.on_first([&] {
    log->event("info", "stopping: requests in flight are finished first");
    service.start_draining();
    server.stop();
  });
  const bool fine = server.run();
  log->event(fine ? "info" : "error", fine ? "stopped" : "the listening socket failed");
  return fine ? 0 : kFailed;
}

}  // namespace

int main(int argc, char** argv) {
  const auto parsed = parse_config(argc, argv);
  if (const EndNow* end = std::get_if<EndNow>(&parsed)) return end->exit_code;
  if (const char* cpu = std::getenv("AGONIC_CPU")) {
    if (const auto chosen = agonic::field::force_cpu(cpu); !chosen) {
      std::cerr << "agonicd: " << chosen.problem().text() << '\n';
      return 2;
    }
  }
  try {
    return serve(std::get<Config>(parsed));
  } catch (const std::exception& error) {
    std::cerr << "agonicd: " << error.what() << '\n';
    return kFailed;
  }
}
