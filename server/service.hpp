// What every request passes through: its id, the routing table, one log line, the counters.
#pragma once

#include <atomic>
#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "server/config.hpp"
#include "server/engine.hpp"
#include "server/http/message.hpp"
#include "server/log.hpp"
#include "server/metrics.hpp"
#include "server/registry/rate_limit.hpp"
#include "server/slots.hpp"

namespace agonic::server {

namespace registry {
class Registry;
}

using Clock = std::function<std::chrono::system_clock::time_point()>;

class Service;

/// One request on its way through an endpoint.
struct Call {
  Service& service;
  const Request& request;
  BodyReader& body;
  std::string request_id;
  std::optional<std::uint64_t> rows;  ///< set by endpoints that take rows
  std::uint64_t rows_refused = 0;
  std::string name{};  ///< what stands in the path at {…}
};

/// The registry as the service sees it.
struct RegistryAccess {
  registry::Registry* registry = nullptr;  ///< null: none is kept
  std::string operator_digest;             ///< of the operator's key; empty: there is none
  bool needed = false;                     ///< an operator asked for it: without it the service is not ready
};

/// Thread-safe. Engine, log and registry must outlive it.
class Service {
 public:
  Service(Config config, Engine& engine, Log& log, Clock now, RegistryAccess instruments = {});

  /// Never throws: whatever goes wrong becomes a problem.
  Response handle(const Request& request, BodyReader& body) noexcept;
  /// The answer to a request that was refused before it became one.
  Response handle_fault(const Fault& fault) noexcept;
  /// The answer when no thread is left.
  Response handle_busy() noexcept;

  /// From now on /readyz says no.
  void start_draining() { draining_ = true; }
  [[nodiscard]] bool draining() const { return draining_; }

  const Config config;
  Engine& engine;
  const Clock now;
  const RegistryAccess instruments;
  registry::RateLimit shares;  ///< of registry calls, by key
  Metrics metrics;
  Slots lookups;    ///< computing a lookup
  Slots batches;    ///< having a batch open
  Slots documents;  ///< working on a document that is taken as a whole, as the sightings of a fit

 private:
  Response route(Call& call, std::string_view& label);
  Response finish(Response response, std::string_view method, const std::string& request_id) const;
  template <class Answer>
  Response accounted(std::string_view method, const std::string& request_id, const Answer& answer) noexcept;

  Log& log_;
  std::atomic<bool> draining_ = false;
};

}  // namespace agonic::server
