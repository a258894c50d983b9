// libpq without its blocking calls: a server that is stopped in the middle of an answer must not hold a request.
#include "server/registry/postgres_database.hpp"

#include <libpq-fe.h>
#include <poll.h>

#include <array>
#include <chrono>
#include <cstring>

#include "server/registry/store.hpp"

namespace agonic::server::registry {
namespace {

using Kind = StoreFailure::Kind;
using Clock = std::chrono::steady_clock;

constexpr std::chrono::milliseconds kPatience{1500};
constexpr const char* kLock = "SELECT pg_advisory_xact_lock(4686143601)";  // one writer, as with SQLite

// One entry a version of the layout, as in sqlite_database.cpp.
constexpr std::array kLayouts{
    R"sql(
CREATE TABLE instrument (team TEXT NOT NULL, id TEXT NOT NULL, PRIMARY KEY (team, id));
CREATE TABLE change (
  sequence BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  team TEXT NOT NULL, instrument TEXT NOT NULL, version INTEGER NOT NULL CHECK (version > 0),
  kind TEXT NOT NULL CHECK (kind IN ('description', 'index_error', 'setting')),
  statement TEXT NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL, why TEXT NOT NULL, seal TEXT NOT NULL,
  UNIQUE (team, instrument, version),
  FOREIGN KEY (team, instrument) REFERENCES instrument (team, id));
CREATE FUNCTION change_is_not_overwritten() RETURNS trigger LANGUAGE plpgsql AS
  $$ BEGIN RAISE EXCEPTION 'a change is never overwritten or deleted'; END $$;
CREATE TRIGGER change_is_not_overwritten BEFORE UPDATE OR DELETE ON change
  FOR EACH ROW EXECUTE FUNCTION change_is_not_overwritten();
CREATE TABLE access_key (
  id TEXT PRIMARY KEY, digest TEXT NOT NULL UNIQUE, team TEXT NOT NULL, name TEXT NOT NULL,
  scope TEXT NOT NULL CHECK (scope IN ('read', 'write')), made_at TEXT NOT NULL, made_by TEXT NOT NULL,
  revoked_at TEXT NOT NULL, seal TEXT NOT NULL);
CREATE TABLE kept_answer (
  scope TEXT NOT NULL, key TEXT NOT NULL, digest TEXT NOT NULL, status INTEGER NOT NULL, location TEXT NOT NULL,
  etag TEXT NOT NULL, body TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY (scope, key));
)sql"};

struct ClearResult {
  void operator()(PGresult* result) const { PQclear(result); }
};
using Answer = std::unique_ptr<PGresult, ClearResult>;
struct CloseConnection {
  void operator()(PGconn* connection) const { PQfinish(connection); }
};

class PostgresDatabase final : public Database {
 public:
  explicit PostgresDatabase(std::string address) : address_(std::move(address)) {}

  std::vector<Row> run(std::string_view sql, const std::vector<Value>& values) override {
    if (!in_transaction_) connect();
    return rows_of(ask(std::string(sql), values));
  }
  void begin() override {
    connect();
    in_transaction_ = true;
    try {
      ask("BEGIN", {});
      ask(kLock, {});
    } catch (...) {
      in_transaction_ = false;
      throw;
    }
  }
  void commit() override {
    ask("COMMIT", {});
    in_transaction_ = false;
  }
  void roll_back() noexcept override {
    in_transaction_ = false;
    try {
      if (connection_) ask("ROLLBACK", {});
    } catch (const StoreFailure&) {
      drop();  // the server rolls back by itself
    }
  }
  std::string backup() override {
    throw StoreFailure(Kind::unsupported, "this registry is in PostgreSQL: back it up with pg_dump");
  }

 private:
  [[noreturn]] void lost() {
    drop();
    throw StoreFailure(Kind::gone, "the registry's PostgreSQL does not answer");
  }
  void drop() noexcept { connection_.reset(); }

  // Waits until the socket is ready or the patience of this call is at its end.
  void wait_for(short event) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(deadline_ - Clock::now()).count();
    pollfd entry{PQsocket(connection_.get()), event, 0};
    if (left <= 0 || ::poll(&entry, 1, static_cast<int>(left)) == 0) lost();
  }

  void connect() {
    deadline_ = Clock::now() + kPatience;
    if (connection_ && PQstatus(connection_.get()) == CONNECTION_OK) return;
    const std::array<const char*, 3> names{"dbname", "fallback_application_name", nullptr};
    const std::array<const char*, 3> values{address_.c_str(), "agonicd", nullptr};
    connection_.reset(PQconnectStartParams(names.data(), values.data(), 1));
    if (!connection_ || PQstatus(connection_.get()) == CONNECTION_BAD) lost();
    for (auto state = PGRES_POLLING_WRITING; state != PGRES_POLLING_OK; state = PQconnectPoll(connection_.get())) {
      if (state == PGRES_POLLING_FAILED) lost();
      wait_for(state == PGRES_POLLING_READING ? POLLIN : POLLOUT);
    }
    PQsetnonblocking(connection_.get(), 1);
    PQsetNoticeProcessor(
        connection_.get(), [](void*, const char*) {}, nullptr);
    ask("SET statement_timeout = 1400", {});
    ask("SET client_encoding = 'UTF8'", {});
    ask("SET synchronous_commit = on", {});
    migrate();
  }

  int layout() {
    if (!rows_of(ask("SELECT to_regclass('agonic_layout')", {})).at(0).at(0)) return 0;
    return std::stoi(rows_of(ask("SELECT max(version) FROM agonic_layout", {})).at(0).at(0).value_or("0"));
  }

  void migrate() {
    if (layout() == static_cast<int>(kLayouts.size())) return;
    ask("BEGIN", {});
    try {
      ask(kLock, {});  // another server may be at it
      const int present = layout();
      if (present > static_cast<int>(kLayouts.size()))
        throw StoreFailure(Kind::damaged, "the registry's layout is not known here: a newer agonicd made it");
      if (present == 0) ask("CREATE TABLE agonic_layout (version INTEGER PRIMARY KEY)", {});
      for (std::size_t next = static_cast<std::size_t>(present); next < kLayouts.size(); ++next) {
        script(kLayouts[next]);
        ask("INSERT INTO agonic_layout VALUES ($1)", {std::to_string(next + 1)});
      }
      ask("COMMIT", {});
    } catch (const StoreFailure&) {
      drop();
      throw;
    }
  }

  void script(const char* sql) {
    if (PQsendQuery(connection_.get(), sql) != 1) lost();
    collect();
  }
  Answer ask(const std::string& sql, const std::vector<Value>& values) {
    if (!connection_) lost();
    std::vector<const char*> pointers;
    pointers.reserve(values.size());
    for (const Value& value : values) pointers.push_back(value ? value->c_str() : nullptr);
    if (PQsendQueryParams(connection_.get(), sql.c_str(), static_cast<int>(values.size()), nullptr, pointers.data(),
                          nullptr, nullptr, 0) != 1)
      lost();
    return collect();
  }

  // The last answer, once all have come; the first that failed is told.
  Answer collect() {
    PGconn* connection = connection_.get();
    for (int left = PQflush(connection); left != 0; left = PQflush(connection)) {
      if (left < 0) lost();
      wait_for(POLLOUT);
    }
    Answer last;
    for (;;) {
      while (PQisBusy(connection) != 0) {
        wait_for(POLLIN);
        if (PQconsumeInput(connection) != 1) lost();
      }
      Answer next(PQgetResult(connection));
      if (!next) break;
      if (!last || PQresultStatus(last.get()) != PGRES_FATAL_ERROR) last = std::move(next);
    }
    if (!last || PQstatus(connection) != CONNECTION_OK) lost();
    const ExecStatusType status = PQresultStatus(last.get());
    if (status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK) refused(last.get());
    return last;
  }

  [[noreturn]] static void refused(const PGresult* result) {
    const char* state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
    const std::string_view code = state == nullptr ? "" : state;
    if (code == "53100") throw StoreFailure(Kind::full, "there is no space left where the registry is kept");
    if (code == "XX001" || code == "XX002") throw StoreFailure(Kind::damaged, "PostgreSQL reports damaged data");
    if (code == "25006") throw StoreFailure(Kind::gone, "the registry's PostgreSQL takes no writes now");
    throw StoreFailure(Kind::gone, "the registry's PostgreSQL refuses (SQLSTATE " + std::string(code) + ")");
  }

  static std::vector<Row> rows_of(const Answer& answer) {
    std::vector<Row> rows(static_cast<std::size_t>(PQntuples(answer.get())));
    for (std::size_t i = 0; i < rows.size(); ++i)
      for (int column = 0; column < PQnfields(answer.get()); ++column) {
        const int row = static_cast<int>(i);
        if (PQgetisnull(answer.get(), row, column) != 0)
          rows[i].emplace_back();
        else
          rows[i].emplace_back(std::string(PQgetvalue(answer.get(), row, column),
                                           static_cast<std::size_t>(PQgetlength(answer.get(), row, column))));
      }
    return rows;
  }

  std::string address_;
  std::unique_ptr<PGconn, CloseConnection> connection_;
  bool in_transaction_ = false;
  Clock::time_point deadline_;
};

}  // namespace

std::unique_ptr<Database> open_postgres(const std::string& address) {
  return std::make_unique<PostgresDatabase>(address);
}

}  // namespace agonic::server::registry
