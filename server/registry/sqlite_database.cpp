// Pragmas and the way to copy follow the SQLite documentation: "Write-Ahead Logging", "PRAGMA statements",
// "Defense Against The Dark Arts" (trusted_schema, cell_size_check), "SQLite Backup API".
#include "server/registry/sqlite_database.hpp"

#include <fcntl.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "server/registry/store.hpp"

namespace agonic::server::registry {
namespace {

namespace fs = std::filesystem;
using Kind = StoreFailure::Kind;

constexpr int kApplicationId = 0x41474F4E;  // "AGON": another program's file is not taken for a registry
constexpr int kBusyMilliseconds = 5000;

// One entry a version of the layout; the last is the present one. Entries are never changed, only added.
constexpr std::array kLayouts{
    R"sql(
CREATE TABLE instrument (team TEXT NOT NULL, id TEXT NOT NULL, PRIMARY KEY (team, id)) STRICT;
CREATE TABLE change (
  sequence INTEGER PRIMARY KEY AUTOINCREMENT,
  team TEXT NOT NULL, instrument TEXT NOT NULL, version INTEGER NOT NULL CHECK (version > 0),
  kind TEXT NOT NULL CHECK (kind IN ('description', 'index_error', 'setting')),
  statement TEXT NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL, why TEXT NOT NULL, seal TEXT NOT NULL,
  UNIQUE (team, instrument, version),
  FOREIGN KEY (team, instrument) REFERENCES instrument (team, id)) STRICT;
CREATE TRIGGER change_is_not_overwritten BEFORE UPDATE ON change
  BEGIN SELECT RAISE(ABORT, 'a change is never overwritten'); END;
CREATE TRIGGER change_is_not_deleted BEFORE DELETE ON change
  BEGIN SELECT RAISE(ABORT, 'a change is never deleted'); END;
CREATE TABLE access_key (
  id TEXT PRIMARY KEY NOT NULL, digest TEXT NOT NULL UNIQUE, team TEXT NOT NULL, name TEXT NOT NULL,
  scope TEXT NOT NULL CHECK (scope IN ('read', 'write')), made_at TEXT NOT NULL, made_by TEXT NOT NULL,
  revoked_at TEXT NOT NULL, seal TEXT NOT NULL) STRICT;
CREATE TABLE kept_answer (
  scope TEXT NOT NULL, key TEXT NOT NULL, digest TEXT NOT NULL, status INTEGER NOT NULL, location TEXT NOT NULL,
  etag TEXT NOT NULL, body TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY (scope, key)) STRICT;
)sql"};

[[noreturn]] void fail(int code) {
  const int primary = code & 0xFF;
  if (primary == SQLITE_FULL || code == SQLITE_IOERR_WRITE || code == SQLITE_IOERR_SHMSIZE)
    throw StoreFailure(Kind::full, "the registry cannot be written: the disk is full, or a limit is reached");
  if (primary == SQLITE_CORRUPT || primary == SQLITE_NOTADB || primary == SQLITE_FORMAT)
    throw StoreFailure(Kind::damaged, "the registry's file is damaged");
  if (primary == SQLITE_BUSY || primary == SQLITE_LOCKED)
    throw StoreFailure(Kind::gone, "another program holds the registry's file");
  throw StoreFailure(Kind::gone, std::string("the registry's file cannot be used: ") + sqlite3_errstr(code));
}

class Handle {
 public:
  Handle(const std::string& path, int flags) {
    const int code = sqlite3_open_v2(path.c_str(), &handle_, flags | SQLITE_OPEN_FULLMUTEX, nullptr);
    if (code != SQLITE_OK) {
      const std::string why = sqlite3_errstr(code);
      sqlite3_close_v2(handle_);
      throw StoreFailure(Kind::gone, "the registry's file cannot be opened: " + why);
    }
    sqlite3_extended_result_codes(handle_, 1);
    sqlite3_busy_timeout(handle_, kBusyMilliseconds);
  }
  ~Handle() { sqlite3_close_v2(handle_); }
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  [[nodiscard]] sqlite3* get() const { return handle_; }

  void script(const char* sql) {
    const int code = sqlite3_exec(handle_, sql, nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) fail(code);
  }
  std::vector<Row> run(std::string sql, const std::vector<Value>& values) {
    std::replace(sql.begin(), sql.end(), '$', '?');  // the numbered parameters of SQLite
    sqlite3_stmt* raw = nullptr;
    int code = sqlite3_prepare_v2(handle_, sql.data(), static_cast<int>(sql.size()), &raw, nullptr);
    const std::unique_ptr<sqlite3_stmt, decltype(&sqlite3_finalize)> statement(raw, &sqlite3_finalize);
    if (code != SQLITE_OK) fail(code);
    for (std::size_t i = 0; i < values.size(); ++i) {
      const int at = static_cast<int>(i) + 1;
      // The values outlive the statement: no copy is needed.
      code = values[i] ? sqlite3_bind_text64(raw, at, values[i]->data(), values[i]->size(), nullptr, SQLITE_UTF8)
                       : sqlite3_bind_null(raw, at);
      if (code != SQLITE_OK) fail(code);
    }
    std::vector<Row> rows;
    while ((code = sqlite3_step(raw)) == SQLITE_ROW) {
      Row row;
      for (int i = 0; i < sqlite3_column_count(raw); ++i) {
        const unsigned char* text = sqlite3_column_text(raw, i);
        if (text == nullptr)
          row.emplace_back();
        else
          row.emplace_back(
              std::string(reinterpret_cast<const char*>(text), static_cast<std::size_t>(sqlite3_column_bytes(raw, i))));
      }
      rows.push_back(std::move(row));
    }
    if (code != SQLITE_DONE) fail(code);
    return rows;
  }
  int number(const char* pragma) {
    const auto rows = run(pragma, {});
    return rows.empty() ? 0 : std::stoi(rows[0].at(0).value_or("0"));
  }
  void copy_to(Handle& other) {
    sqlite3_backup* backup = sqlite3_backup_init(other.handle_, "main", handle_, "main");
    if (backup == nullptr) fail(sqlite3_extended_errcode(other.handle_));
    int code = SQLITE_OK;
    do {
      code = sqlite3_backup_step(backup, 256);
      if (code == SQLITE_BUSY || code == SQLITE_LOCKED) sqlite3_sleep(20);
    } while (code == SQLITE_OK || code == SQLITE_BUSY || code == SQLITE_LOCKED);
    sqlite3_backup_finish(backup);
    if (code != SQLITE_DONE) fail(code);
  }

 private:
  sqlite3* handle_ = nullptr;
};

void check_soundness(Handle& handle, const char* pragma) {
  const auto rows = handle.run(pragma, {});
  if (rows.size() != 1 || rows[0].at(0) != "ok")
    throw StoreFailure(Kind::damaged, "the registry's file is damaged: SQLite's own check fails");
}

// Is it a registry, and of a layout known here?
void check_kind(Handle& handle) {
  const int version = handle.number("PRAGMA user_version");
  if (handle.number("PRAGMA application_id") != kApplicationId)
    throw StoreFailure(Kind::damaged, "the file is no registry of agonicd");
  if (version < 1 || version > static_cast<int>(kLayouts.size()))
    throw StoreFailure(Kind::damaged, "the registry's file has layout " + std::to_string(version) +
                                          ", which this agonicd does not know: a newer one made it");
}

void fsync_path(const fs::path& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return;
  ::fsync(file);
  ::close(file);
}

// Leaving the write-ahead log takes the file for oneself: it fails while another program has it open. A damaged file
// says nothing about that, and is put aside all the same.
void refuse_if_open(const std::string& path) {
  try {
    Handle present(path, SQLITE_OPEN_READWRITE);
    sqlite3_busy_timeout(present.get(), 200);
    present.run("PRAGMA journal_mode=DELETE", {});
  } catch (const StoreFailure& failure) {
    if (failure.kind() == Kind::damaged) return;
    throw StoreFailure(Kind::gone, "an agonicd has the registry open: stop it first");
  }
}

// A file that is gone with the object.
class TemporaryFile {
 public:
  explicit TemporaryFile(std::string pattern) : path_(std::move(pattern)) {
    path_ += ".XXXXXX";
    const int file = ::mkstemp(path_.data());
    if (file < 0)
      throw StoreFailure(errno == ENOSPC ? Kind::full : Kind::gone, "a backup cannot be written beside the registry");
    ::close(file);
  }
  ~TemporaryFile() {
    for (const char* ending : {"", "-wal", "-shm", "-journal"}) ::unlink((path_ + ending).c_str());
  }
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

class SqliteDatabase final : public Database {
 public:
  explicit SqliteDatabase(const std::string& path)
      : path_(path), handle_(path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOFOLLOW) {
    handle_.script(
        "PRAGMA trusted_schema=OFF; PRAGMA cell_size_check=ON; PRAGMA foreign_keys=ON; PRAGMA synchronous=FULL;");
    check_soundness(handle_, "PRAGMA quick_check");
    handle_.run("PRAGMA journal_mode=WAL", {});
    migrate();
    check_kind(handle_);
  }
  std::vector<Row> run(std::string_view sql, const std::vector<Value>& values) override {
    return handle_.run(std::string(sql), values);
  }
  void begin() override { handle_.script("BEGIN IMMEDIATE"); }
  void commit() override { handle_.script("COMMIT"); }
  void roll_back() noexcept override { sqlite3_exec(handle_.get(), "ROLLBACK", nullptr, nullptr, nullptr); }

  std::string backup() override {
    const bool in_memory = path_ == ":memory:";
    const TemporaryFile file((in_memory ? fs::temp_directory_path() / "agonic-registry" : fs::path(path_)).string() +
                             ".backup");
    {
      Handle copy(file.path(), SQLITE_OPEN_READWRITE);
      handle_.copy_to(copy);
      copy.run("PRAGMA journal_mode=DELETE", {});  // one file, complete by itself
      check_soundness(copy, "PRAGMA integrity_check");
      check_kind(copy);
    }
    std::ifstream in(file.path(), std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(in), {}};
    if (!in || bytes.empty()) throw StoreFailure(Kind::gone, "the backup cannot be read back");
    return bytes;
  }

 private:
  void migrate() {
    Transaction transaction(*this);
    const int version = handle_.number("PRAGMA user_version");
    if (version == 0) {
      if (!handle_.run("SELECT name FROM sqlite_schema LIMIT 1", {}).empty())
        throw StoreFailure(Kind::damaged, "the file is no registry of agonicd");
      handle_.script(("PRAGMA application_id=" + std::to_string(kApplicationId)).c_str());
    }
    for (std::size_t next = static_cast<std::size_t>(std::max(version, 0)); next < kLayouts.size(); ++next)
      handle_.script((kLayouts[next] + ("PRAGMA user_version=" + std::to_string(next + 1))).c_str());
    transaction.commit();
  }

  std::string path_;
  Handle handle_;
};

}  // namespace

std::unique_ptr<Database> open_sqlite(const std::string& path) {
  if (path != ":memory:") {
    // Made here, so that it is its owner's alone from the first moment; SQLite gives its companions the same mode.
    const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
    if (file < 0) throw StoreFailure(errno == ENOSPC ? Kind::full : Kind::gone, "the registry's file cannot be opened");
    ::close(file);
  }
  return std::make_unique<SqliteDatabase>(path);
}

std::string restore_sqlite(const std::string& backup, const std::string& path) {
  std::error_code error;
  if (!fs::is_regular_file(backup, error)) throw StoreFailure(Kind::gone, "there is no such backup file");
  const TemporaryFile beside(path + ".restore");
  {
    Handle from(backup, SQLITE_OPEN_READONLY);
    from.script("PRAGMA trusted_schema=OFF; PRAGMA cell_size_check=ON;");
    check_soundness(from, "PRAGMA integrity_check");
    check_kind(from);
    Handle to(beside.path(), SQLITE_OPEN_READWRITE);
    from.copy_to(to);
    to.run("PRAGMA journal_mode=DELETE", {});
    check_soundness(to, "PRAGMA integrity_check");
  }
  // Restored by an administrator, it stays with the account that the service runs under.
  struct stat folder {};
  if (::geteuid() == 0 && ::stat(fs::path(path).parent_path().c_str(), &folder) == 0 &&
      ::chown(beside.path().c_str(), folder.st_uid, folder.st_gid) != 0)
    throw StoreFailure(Kind::gone, "the backup cannot be given to the folder's owner");
  fsync_path(beside.path());
  // The log of the old file belongs to it: left in place it would be played into the new one.
  std::string kept;
  if (fs::exists(path, error)) {
    refuse_if_open(path);
    kept = path + ".before-restore";
    for (int i = 2; fs::exists(kept, error); ++i) kept = path + "." + std::to_string(i) + ".before-restore";
    for (const char* ending : {"-wal", "-shm", ""}) {
      if (!fs::exists(path + ending, error)) continue;
      fs::rename(path + ending, kept + ending, error);
      if (error) throw StoreFailure(Kind::gone, "the registry in place cannot be put aside: " + error.message());
    }
  }
  fs::rename(beside.path(), path, error);
  if (error) throw StoreFailure(Kind::gone, "the backup cannot be put in place: " + error.message());
  fsync_path(fs::path(path).parent_path());
  return kept;
}

}  // namespace agonic::server::registry
