// The instruments of all teams, and the keys that open them: rules above the store, and a copy in memory.
//
// Everything is read from the copy, so that lookups, batches and reads go on while the store is away. It is brought
// up to date at most once a second; what this process writes is in it at once.
#pragma once

#include <chrono>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "model/instrument/dump.hpp"
#include "model/instrument/record.hpp"
#include "model/instrument/record_json.hpp"
#include "model/instrument/registry.hpp"
#include "server/registry/store.hpp"
#include "server/slots.hpp"

namespace agonic::server::registry {

using RecordPointer = std::shared_ptr<const instrument::Record>;
using WallClock = std::function<std::chrono::system_clock::time_point()>;

/// Who asks for a change, and for which team.
struct Author {
  std::string team;
  std::string who;
};

/// A request that may be sent twice.
struct Repeatable {
  std::string key;     ///< the Idempotency-Key; empty: none
  std::string digest;  ///< of the whole request
};

/// How a change ended.
struct Outcome {
  enum class Kind {
    done,
    replayed,   ///< an earlier answer to the same request
    exists,     ///< an instrument of this id is there
    missing,    ///< none is
    stale,      ///< it has changed since the version that was named
    reused,     ///< the Idempotency-Key came with another request
    in_flight,  ///< the same request is being worked on
    refused,    ///< by the rules of a record
  };
  Kind kind = Kind::done;
  int status = 200;
  std::string location, etag, body;  ///< of the answer, where it is done or replayed
  std::optional<Problem> problem;    ///< where it is refused
};

/// What an import did.
struct Imported {
  std::vector<std::string> done;
  std::vector<Problem> refused;  ///< `field` names the instrument
};

/// "\"v7\""
std::string version_tag(int version);
std::string iso_seconds(std::chrono::system_clock::time_point time);

/// Thread-safe. Functions throw StoreFailure: reads only while nothing has ever been read, writes whenever the store
/// fails them, within about two seconds.
class Registry {
 public:
  Registry(std::unique_ptr<Store> store, WallClock now);

  /// A team's instruments by id.
  std::vector<RecordPointer> list(const std::string& team);
  /// Null where the team has none of that id: other teams are not even looked at.
  RecordPointer find(const std::string& team, const std::string& id);
  /// What a batch of that team asks. It must not outlive the registry.
  std::shared_ptr<const instrument::Registry> of_team(std::string team);

  Outcome create(const Author& author, const instrument::Proposal& proposal, const Repeatable& repeatable);
  /// @param expected the version that the author has seen; empty: whatever stands
  Outcome change(const Author& author, const std::string& id, const instrument::Proposal& proposal,
                 std::optional<int> expected, const Repeatable& repeatable);
  /// Each record by itself: one whose id the team has already is refused. Who recorded a change, and when, is kept in
  /// the words of its `who`; the change itself is recorded now, by the author.
  Imported import(const Author& author, const std::vector<instrument::Record>& records);

  /// Has a key ever been made? Revoking the last one does not open the registry again.
  bool has_keys();
  /// The live key of this digest.
  std::optional<KeyRow> key_of(std::string_view digest);
  std::vector<KeyRow> keys();
  /// Makes a key; its secret is told here and never again.
  std::string add_key(KeyRow& row);
  bool revoke_key(const std::string& id);

  std::string backup();

  /// What is wrong with the store: it could not be read when last tried. Tries, if that is a while ago.
  std::optional<std::string> trouble();

 private:
  using Lock = Slots::Hold;
  Lock lock_store();
  void refresh();
  void sync(const Lock& held);
  [[nodiscard]] RecordPointer cached(const std::string& team, const std::string& id) const;
  template <class Work>
  auto written(const Work& work);
  std::optional<Outcome> replay(const std::string& team, const Repeatable& repeatable);
  Outcome write(const Author& author, const std::string& id, const instrument::Proposal& proposal, bool create,
                std::optional<int> expected, const Repeatable& repeatable);

  const std::unique_ptr<Store> store_;
  const WallClock now_;

  Slots store_turn_{1};                                                  ///< taken before cache_mutex_
  std::mutex cache_mutex_;                                               ///< held for moments
  std::map<std::string, std::map<std::string, RecordPointer>> records_;  ///< by team and id
  std::vector<KeyRow> keys_;
  std::int64_t sequence_ = 0;
  bool loaded_ = false;
  std::optional<StoreFailure> failure_;  ///< of the last try
  std::chrono::steady_clock::time_point tried_{};

  std::mutex in_flight_mutex_;
  std::set<std::pair<std::string, std::string>> in_flight_;
};

}  // namespace agonic::server::registry
