#include "server/registry/registry.hpp"

#include <mutex>

#include "server/log.hpp"
#include "server/registry/secret.hpp"

namespace agonic::server::registry {
namespace {

using namespace std::chrono_literals;
using SteadyClock = std::chrono::steady_clock;
using Kind = Outcome::Kind;

constexpr auto kFresh = 1s;         // how old the copy may be, and how soon a store that failed is asked again
constexpr auto kQueue = 1500ms;     // waiting for one's turn at the store
constexpr int kTries = 5;           // of a change that meets another's
constexpr auto kKeepAnswers = 24h;  // for a repeated Idempotency-Key, common practice

// Held while a request with an Idempotency-Key is worked on.
class InFlight {
 public:
  InFlight(std::mutex& mutex, std::set<std::pair<std::string, std::string>>& all,
           std::pair<std::string, std::string> key)
      : mutex_(mutex), all_(all), key_(std::move(key)) {
    const std::lock_guard lock(mutex_);
    first_ = key_.second.empty() || all_.insert(key_).second;
  }
  ~InFlight() {
    const std::lock_guard lock(mutex_);
    if (first_) all_.erase(key_);
  }
  InFlight(const InFlight&) = delete;
  InFlight& operator=(const InFlight&) = delete;
  [[nodiscard]] bool first() const { return first_; }

 private:
  std::mutex& mutex_;
  std::set<std::pair<std::string, std::string>>& all_;
  const std::pair<std::string, std::string> key_;
  bool first_ = false;
};

ChangeRow row_of(const std::string& team, const std::string& id, const instrument::Recorded& recorded,
                 const instrument::Change& change) {
  return {0,
          team,
          id,
          recorded.version,
          std::string(word(kind_of(change))),
          instrument::statement_json(change),
          recorded.who,
          recorded.when,
          recorded.why};
}

// Every change of a record, in order of version.
std::vector<std::pair<instrument::Recorded, instrument::Change>> changes_of(const instrument::Record& record) {
  std::map<int, std::pair<instrument::Recorded, instrument::Change>> sorted;
  const auto put = [&](const auto& versions) {
    for (const auto& version : versions)
      sorted.emplace(version.recorded.version, std::pair(version.recorded, version.what));
  };
  put(record.descriptions);
  put(record.index_errors);
  put(record.settings);
  std::vector<std::pair<instrument::Recorded, instrument::Change>> out;
  out.reserve(sorted.size());
  for (auto& [version, change] : sorted) out.push_back(std::move(change));
  return out;
}

class TeamRegistry final : public instrument::Registry {
 public:
  TeamRegistry(registry::Registry& all, std::string team) : all_(all), team_(std::move(team)) {}
  [[nodiscard]] Result<RecordPointer> find(std::string_view id) const override {
    try {
      RecordPointer found = all_.find(team_, std::string(id));
      if (!found) return instrument::unknown_instrument(id);
      return found;
    } catch (const StoreFailure& failure) {
      return Problem{Code::instrument_unknown, "instrument", std::string(id), failure.what(),
                     "Try again later, or give its index errors in columns"};
    }
  }

 private:
  registry::Registry& all_;
  const std::string team_;
};

}  // namespace

std::string version_tag(int version) { return "\"v" + std::to_string(version) + "\""; }

std::string iso_seconds(std::chrono::system_clock::time_point time) {
  return iso_time(std::chrono::floor<std::chrono::seconds>(time)).substr(0, 19) + "Z";
}

Registry::Registry(std::unique_ptr<Store> store, WallClock now) : store_(std::move(store)), now_(std::move(now)) {
  try {
    refresh();
  } catch (const StoreFailure&) {  // kept in failure_; asked again later
  }
}

Registry::Lock Registry::lock_store() {
  Lock lock = store_turn_.take(kQueue);
  if (!lock) throw StoreFailure(StoreFailure::Kind::gone, "the registry is busy");
  return lock;
}

// Reads what is new. The copy is made before it is swapped in: a row that cannot be read changes nothing.
void Registry::sync(const Lock& held) {
  if (!held) return;
  tried_ = SteadyClock::now();
  try {
    const std::vector<ChangeRow> rows = store_->changes_after(sequence_);
    std::vector<KeyRow> keys = store_->keys();
    std::map<std::pair<std::string, std::string>, std::shared_ptr<instrument::Record>> changed;
    for (const ChangeRow& row : rows) {
      auto& record = changed[{row.team, row.instrument}];
      if (!record) {
        const RecordPointer old = cached(row.team, row.instrument);
        record = old ? std::make_shared<instrument::Record>(*old) : std::make_shared<instrument::Record>();
        record->id = row.instrument;
        record->team = row.team;
      }
      const auto kind = instrument::change_kind_of(row.kind);
      const auto statement = kind ? instrument::read_statement(*kind, row.statement) : Problem{};
      if (!statement || row.version != record->version + 1 ||
          add(*record, {row.version, row.who, row.at, row.why}, *statement))
        throw StoreFailure(StoreFailure::Kind::damaged, "a row of the registry cannot be understood");
    }
    const std::lock_guard lock(cache_mutex_);
    for (auto& [name, record] : changed) records_[name.first][name.second] = std::move(record);
    if (!rows.empty()) sequence_ = rows.back().sequence;
    keys_ = std::move(keys);
    loaded_ = true;
    failure_.reset();
  } catch (const StoreFailure& failure) {
    tried_ = SteadyClock::now();  // a try in vain may have taken longer than a second
    const std::lock_guard lock(cache_mutex_);
    failure_ = failure;
    throw;
  }
}

void Registry::refresh() {
  if (const Lock lock = store_turn_.take(0ms); lock && SteadyClock::now() - tried_ >= kFresh) {
    try {
      sync(lock);
    } catch (const StoreFailure&) {
      if (!loaded_) throw;
    }
  }
  const std::lock_guard lock(cache_mutex_);
  if (!loaded_) throw failure_.value_or(StoreFailure(StoreFailure::Kind::gone, "the registry is being read"));
}

std::optional<std::string> Registry::trouble() {
  try {
    refresh();
  } catch (const StoreFailure& failure) {
    return failure.what();
  }
  const std::lock_guard lock(cache_mutex_);
  return failure_ ? std::optional<std::string>(failure_->what()) : std::nullopt;
}

std::vector<RecordPointer> Registry::list(const std::string& team) {
  refresh();
  const std::lock_guard lock(cache_mutex_);
  std::vector<RecordPointer> out;
  if (const auto found = records_.find(team); found != records_.end())
    for (const auto& [id, record] : found->second) out.push_back(record);
  return out;
}

RecordPointer Registry::find(const std::string& team, const std::string& id) {
  refresh();
  const std::lock_guard lock(cache_mutex_);
  return cached(team, id);
}

// With the store's turn or the mutex: what is read here changes only under both.
RecordPointer Registry::cached(const std::string& team, const std::string& id) const {
  const auto of_team = records_.find(team);
  if (of_team == records_.end()) return nullptr;
  const auto found = of_team->second.find(id);
  return found == of_team->second.end() ? nullptr : found->second;
}

std::shared_ptr<const instrument::Registry> Registry::of_team(std::string team) {
  return std::make_shared<TeamRegistry>(*this, std::move(team));
}

// Does work that writes, with the copy up to date before and after. A failure is remembered for trouble().
template <class Work>
auto Registry::written(const Work& work) {
  const Lock lock = lock_store();
  {
    const std::lock_guard guard(cache_mutex_);
    if (failure_ && failure_->kind() == StoreFailure::Kind::gone && SteadyClock::now() - tried_ < kFresh)
      throw StoreFailure(*failure_);  // just tried in vain: nobody waits for it twice
  }
  sync(lock);
  auto result = work(lock);
  try {
    sync(lock);
  } catch (const StoreFailure&) {  // what was written is written; the copy follows when the store is back
  }
  return result;
}

std::optional<Outcome> Registry::replay(const std::string& team, const Repeatable& repeatable) {
  if (repeatable.key.empty()) return std::nullopt;
  const auto kept = store_->kept(team, repeatable.key);
  if (!kept || kept->at < iso_seconds(now_() - kKeepAnswers)) return std::nullopt;
  if (kept->digest != repeatable.digest) return Outcome{Kind::reused, 0, {}, {}, {}, {}};
  return Outcome{Kind::replayed, kept->status, kept->location, kept->etag, kept->body, {}};
}

Outcome Registry::write(const Author& author, const std::string& id, const instrument::Proposal& proposal, bool create,
                        std::optional<int> expected, const Repeatable& repeatable) {
  const InFlight in_flight(in_flight_mutex_, in_flight_, {author.team, repeatable.key});
  if (!in_flight.first()) return {Kind::in_flight, 0, {}, {}, {}, {}};
  return written([&](const Lock& held) -> Outcome {
    if (!repeatable.key.empty()) store_->forget_answers(iso_seconds(now_() - kKeepAnswers));
    for (int attempt = 0; attempt < kTries; ++attempt) {
      if (attempt > 0) sync(held);
      if (auto earlier = replay(author.team, repeatable)) return *std::move(earlier);
      const RecordPointer found = cached(author.team, id);
      if (create && found) return {Kind::exists, 0, {}, {}, {}, {}};
      if (!create && !found) return {Kind::missing, 0, {}, {}, {}, {}};
      instrument::Record record = create ? instrument::Record{} : *found;
      if (expected && *expected != record.version) return {Kind::stale, 0, {}, version_tag(record.version), {}, {}};
      record.id = id;
      record.team = author.team;
      const std::string at = iso_seconds(now_());
      const instrument::Recorded recorded{record.version + 1, author.who, at, proposal.why};
      if (auto problem = add(record, recorded, proposal.change))
        return {Kind::refused, 0, {}, {}, {}, std::move(problem)};
      const bool appended = !create && kind_of(proposal.change) != instrument::ChangeKind::description;
      Outcome outcome{
          Kind::done, create || appended ? 201 : 200, id, version_tag(record.version), instrument::record_json(record),
          {}};
      std::optional<KeptAnswer> kept;
      if (!repeatable.key.empty())
        kept = KeptAnswer{author.team,      repeatable.key, repeatable.digest, outcome.status,
                          outcome.location, outcome.etag,   outcome.body,      at};
      if (store_->add({row_of(author.team, id, recorded, proposal.change)}, kept) == Added::done) return outcome;
    }
    throw StoreFailure(StoreFailure::Kind::gone, "too many changes at once");
  });
}

Outcome Registry::create(const Author& author, const instrument::Proposal& proposal, const Repeatable& repeatable) {
  return write(author, proposal.id, proposal, true, std::nullopt, repeatable);
}

Outcome Registry::change(const Author& author, const std::string& id, const instrument::Proposal& proposal,
                         std::optional<int> expected, const Repeatable& repeatable) {
  return write(author, id, proposal, false, expected, repeatable);
}

Imported Registry::import(const Author& author, const std::vector<instrument::Record>& records) {
  return written([&](const Lock& held) {
    Imported imported;
    const std::string at = iso_seconds(now_());
    for (const instrument::Record& record : records) {
      std::vector<ChangeRow> rows;
      for (auto& [recorded, change] : changes_of(record)) {
        const instrument::Recorded here{
            recorded.version, author.who + ", from " + recorded.who + " of " + recorded.when, at, recorded.why};
        rows.push_back(row_of(author.team, record.id, here, change));
      }
      const bool there = cached(author.team, record.id) != nullptr;
      if (!there && store_->add(rows, std::nullopt) == Added::done) {
        imported.done.push_back(record.id);
      } else {
        imported.refused.push_back({Code::contradiction, "instrument " + record.id, "",
                                    "an instrument of this id is recorded already", "Its record is left as it is"});
      }
    }
    sync(held);
    return imported;
  });
}

bool Registry::has_keys() {
  refresh();
  const std::lock_guard lock(cache_mutex_);
  return !keys_.empty();
}

std::optional<KeyRow> Registry::key_of(std::string_view digest) {
  refresh();
  const std::lock_guard lock(cache_mutex_);
  std::optional<KeyRow> found;
  for (const KeyRow& key : keys_)  // to the end, whichever it is
    if (same_digest(key.digest, digest) && key.revoked_at.empty()) found = key;
  return found;
}

std::vector<KeyRow> Registry::keys() {
  refresh();
  const std::lock_guard lock(cache_mutex_);
  return keys_;
}

std::string Registry::add_key(KeyRow& row) {
  std::string secret = new_secret();
  row.id = new_key_id();
  row.digest = digest_of(secret);
  row.made_at = iso_seconds(now_());
  written([&](const Lock&) {
    store_->add_key(row);
    return true;
  });
  return secret;
}

bool Registry::revoke_key(const std::string& id) {
  return written([&](const Lock&) { return store_->revoke_key(id, iso_seconds(now_())); });
}

std::string Registry::backup() {
  const Lock lock = lock_store();
  return store_->backup();
}

}  // namespace agonic::server::registry
