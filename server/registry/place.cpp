#include "server/registry/place.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <fstream>

#include "model/units/number.hpp"
#include "server/registry/postgres_database.hpp"
#include "server/registry/secret.hpp"
#include "server/registry/sql_store.hpp"
#include "server/registry/sqlite_database.hpp"

namespace agonic::server::registry {
namespace {

namespace fs = std::filesystem;

// In place of a store that could not be opened.
class BrokenStore final : public Store {
 public:
  BrokenStore(StoreFailure::Kind kind, std::string what) : kind_(kind), what_(std::move(what)) {}
  std::vector<ChangeRow> changes_after(std::int64_t) override { fail(); }
  Added add(const std::vector<ChangeRow>&, const std::optional<KeptAnswer>&) override { fail(); }
  std::optional<KeptAnswer> kept(const std::string&, const std::string&) override { fail(); }
  void forget_answers(const std::string&) override { fail(); }
  std::vector<KeyRow> keys() override { fail(); }
  void add_key(const KeyRow&) override { fail(); }
  bool revoke_key(const std::string&, const std::string&) override { fail(); }
  std::string backup() override { fail(); }

 private:
  [[noreturn]] void fail() const { throw StoreFailure(kind_, what_); }
  const StoreFailure::Kind kind_;
  const std::string what_;
};

std::string state_folder_of(const std::string& given, const Environment& environment) {
  if (!given.empty()) return given;
  const auto variable = [&](const char* name) {
    const char* value = environment(name);
    return std::string(value == nullptr ? "" : value);
  };
  const std::string system = variable("STATE_DIRECTORY");  // set by systemd; several stand with colons between
  if (!system.empty()) return system.substr(0, system.find(':'));
  if (const std::string xdg = variable("XDG_STATE_HOME"); xdg.starts_with('/')) return xdg + "/agonic";
  if (const std::string home = variable("HOME"); home.starts_with('/') && home != "/")
    return home + "/.local/state/agonic";
  return {};
}

// Its owner's alone where it is made here.
bool make_folder(const fs::path& folder) {
  std::error_code error;
  if (folder.empty() || fs::is_directory(folder, error)) return true;
  fs::create_directories(folder.parent_path(), error);
  return ::mkdir(folder.c_str(), 0700) == 0 || errno == EEXIST;
}

}  // namespace

Place place_of(const std::string& wanted, const std::string& state_folder, const Environment& environment) {
  const std::string folder = state_folder_of(state_folder, environment);
  Place place;
  if (wanted == "none") return place;
  if (wanted.starts_with("postgresql://") || wanted.starts_with("postgres://")) {
    place.kind = Place::Kind::postgres;
    place.where = wanted;
    if (!folder.empty()) place.operator_key = folder + "/operator.key";
    return place;
  }
  if (wanted.empty() && folder.empty()) return place;
  place.kind = Place::Kind::sqlite;
  place.by_default = wanted.empty() && state_folder.empty();
  place.where = wanted.empty() ? folder + "/registry.sqlite" : wanted;
  place.operator_key = (fs::path(place.where).parent_path() / "operator.key").string();
  return place;
}

std::unique_ptr<Store> open_store(const Place& place) {
  try {
    if (place.kind == Place::Kind::postgres) return std::make_unique<SqlStore>(open_postgres(place.where));
    if (!make_folder(fs::path(place.where).parent_path()))
      throw StoreFailure(StoreFailure::Kind::gone, "the registry's folder cannot be made");
    return std::make_unique<SqlStore>(open_sqlite(place.where));
  } catch (const StoreFailure& failure) {
    return std::make_unique<BrokenStore>(failure.kind(), failure.what());
  }
}

OperatorKey operator_key(const std::string& file) {
  if (file.empty()) return {{}, "there is no folder for it", false};
  if (!make_folder(fs::path(file).parent_path())) return {{}, "its folder cannot be made", false};
  const int made = ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (made >= 0) {
    const std::string secret = new_secret();
    const std::string line = secret + "\n";
    const bool fine =
        ::write(made, line.data(), line.size()) == static_cast<ssize_t>(line.size()) && ::fsync(made) == 0;
    // Made by an administrator, it belongs to the account that the service runs under.
    struct stat folder {};
    const bool given = ::geteuid() != 0 || (::stat(fs::path(file).parent_path().c_str(), &folder) == 0 &&
                                            ::fchown(made, folder.st_uid, folder.st_gid) == 0);
    ::close(made);
    if (fine && given) return {digest_of(secret), {}, true};
    ::unlink(file.c_str());
    return {{}, "it cannot be written", false};
  }
  if (errno != EEXIST) return {{}, "it cannot be written", false};
  struct stat state {};
  if (::stat(file.c_str(), &state) == 0 && (state.st_mode & 077) != 0)
    return {{}, "others may read it: chmod 600 it, or delete it and start anew", false};
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);
  const std::string_view secret = trim(line);
  if (!secret.starts_with("agonic_") || secret.size() != 50)
    return {{}, "what it holds is no key: delete it and start anew", false};
  return {digest_of(secret), {}, false};
}

}  // namespace agonic::server::registry
