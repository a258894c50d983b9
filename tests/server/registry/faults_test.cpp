// What the registry does when its file is damaged, its disk is full, or its PostgreSQL is stopped.
#include <sys/mount.h>
#include <sys/resource.h>

#include <csignal>
#include <cstdlib>
#include <random>

#include "server/registry/place.hpp"
#include "server/registry/registry.hpp"
#include "tests/server/registry/store_fixture.hpp"

namespace agonic::server::registry {
namespace {

using Clock = std::chrono::steady_clock;
using namespace std::chrono_literals;

std::chrono::system_clock::time_point today() {
  return std::chrono::sys_days(std::chrono::year(2026) / std::chrono::November / 25);
}
instrument::Proposal proposal(const std::string& id, const std::string& note = "n") {
  return *instrument::read_proposal(instrument::ChangeKind::description,
                                    R"({"why":"w","id":")" + id + R"(","note":")" + note + "\"}", true, {});
}
const Author kAuthor{"team", "Ana"};

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}
void write_bytes(const std::string& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
}

class DamageTest : public testing::Test {
 protected:
  DamageTest() {
    Registry whole(std::make_unique<SqlStore>(open_sqlite(file)), today);
    for (int i = 0; i < 40; ++i) whole.create(kAuthor, proposal("I-" + std::to_string(i), std::string(100, 'n')), {});
    for (const RecordPointer& record : whole.list("team")) expected.push_back(instrument::record_json(*record));
    KeyRow key;
    key.team = "team";
    key.name = "n";
    key.scope = "write";
    whole.add_key(key);
    digest = key.digest;
  }
  /// True if it is told; false if all that was written is there all the same. Anything else is a failure.
  bool told(const std::string& what) {
    for (const char* ending : {"-wal", "-shm"}) fs::remove(file + ending);
    Registry read(open_store({Place::Kind::sqlite, file, {}, false}), today);
    if (const auto trouble = read.trouble()) {
      EXPECT_FALSE(trouble->empty());
      EXPECT_THROW(read.list("team"), StoreFailure) << what;
      EXPECT_THROW(read.create(kAuthor, proposal("new"), {}), StoreFailure) << what;
      return true;
    }
    std::vector<std::string> found;
    for (const RecordPointer& record : read.list("team")) found.push_back(instrument::record_json(*record));
    EXPECT_EQ(found, expected) << what;
    EXPECT_TRUE(read.key_of(digest)) << what;
    return false;
  }
  Folder folder;
  const std::string file = folder.file();
  std::vector<std::string> expected;
  std::string digest;
};

TEST_F(DamageTest, AFlippedByteIsToldOrDoesNotMatterAtFiveHundredPlaces) {
  const std::string sound = bytes_of(file);
  ASSERT_FALSE(told("untouched"));
  std::mt19937 random(20261125);
  int noticed = 0;
  for (int i = 0; i < 500; ++i) {
    std::string damaged = sound;
    const std::size_t at =
        i < 100 ? static_cast<std::size_t>(i) : random() % damaged.size();  // the header byte by byte
    damaged[at] = static_cast<char>(damaged[at] ^ (1 << (random() % 8)));
    write_bytes(file, damaged);
    noticed += told("byte " + std::to_string(at)) ? 1 : 0;
  }
  EXPECT_GT(noticed, 100);
}

TEST_F(DamageTest, DamageWhereNoRowLiesIsToldAtTheStart) {
  const auto index =
      open_sqlite(file)->run("SELECT rootpage FROM sqlite_schema WHERE name = 'sqlite_autoindex_change_1'");
  const auto page_size = static_cast<std::size_t>(std::stoi(*open_sqlite(file)->run("PRAGMA page_size").at(0).at(0)));
  std::string damaged = bytes_of(file);
  const std::size_t page = static_cast<std::size_t>(std::stoi(*index.at(0).at(0))) - 1;
  damaged.replace(page * page_size, page_size, page_size, '\0');
  write_bytes(file, damaged);
  EXPECT_TRUE(told("a page of an index"));
}

TEST_F(DamageTest, ACutFileIsToldAtFiftyPlaces) {
  const std::string sound = bytes_of(file);
  for (std::size_t i = 1; i < 50; ++i) {
    write_bytes(file, sound.substr(0, sound.size() * i / 50));
    EXPECT_TRUE(told("cut at " + std::to_string(i) + "/50"));
  }
  for (const std::string& other :
       {std::string("this is no database"), std::string(5000, '\0'), std::string(5000, 'x')}) {
    write_bytes(file, other);
    EXPECT_TRUE(told(other.substr(0, 10)));
  }
}

TEST_F(DamageTest, OnlyASoundBackupIsPutInPlaceAndTheOldOneIsKept) {
  const std::string backup = folder.file("backup");
  write_bytes(backup, SqlStore(open_sqlite(file)).backup());
  const std::string sound = bytes_of(backup);
  Registry(std::make_unique<SqlStore>(open_sqlite(file)), today).create(kAuthor, proposal("later"), {});
  const std::string present = bytes_of(file);
  for (const std::string& bad : {std::string(), std::string("no database"), sound.substr(0, sound.size() / 2)}) {
    write_bytes(backup, bad);
    EXPECT_THROW(restore_sqlite(backup, file), StoreFailure);
    EXPECT_EQ(bytes_of(file), present);
  }
  EXPECT_THROW(restore_sqlite(folder.file("none"), file), StoreFailure);
  write_bytes(backup, sound);
  {
    const auto open = open_sqlite(file);
    EXPECT_THROW(restore_sqlite(backup, file), StoreFailure) << "while it is in use";
  }
  const std::string kept = restore_sqlite(backup, file);
  EXPECT_EQ(Registry(std::make_unique<SqlStore>(open_sqlite(file)), today).list("team").size(), 40u);
  EXPECT_EQ(Registry(std::make_unique<SqlStore>(open_sqlite(kept)), today).list("team").size(), 41u);
  EXPECT_NE(restore_sqlite(backup, file), kept);
  // A damaged registry can be replaced too: that is what it is for.
  write_bytes(file, "damaged");
  restore_sqlite(backup, file);
  EXPECT_EQ(Registry(std::make_unique<SqlStore>(open_sqlite(file)), today).list("team").size(), 40u);
}

// Writes until the store says that it is full; then everything acknowledged is there, and it goes on with more space.
void fill_and_recover(const std::string& file, const std::function<void()>& make_room) {
  Registry registry(std::make_unique<SqlStore>(open_sqlite(file)), today);
  int written = 0;
  std::optional<StoreFailure::Kind> end;
  for (; written < 2000 && !end;) {
    try {
      registry.create(kAuthor, proposal("I-" + std::to_string(written), std::string(1500, 'n')), {});
      ++written;
    } catch (const StoreFailure& failure) {
      end = failure.kind();
    }
  }
  ASSERT_TRUE(end) << "never full";
  EXPECT_EQ(*end, StoreFailure::Kind::full);
  EXPECT_GT(written, 3);
  EXPECT_EQ(registry.list("team").size(), static_cast<std::size_t>(written));
  make_room();
  EXPECT_EQ(registry.create(kAuthor, proposal("again"), {}).kind, Outcome::Kind::done);
  Registry reopened(std::make_unique<SqlStore>(open_sqlite(file)), today);
  EXPECT_EQ(reopened.list("team").size(), static_cast<std::size_t>(written) + 1);
}

TEST(FullDiskTest, ALimitOnFilesIsToldAsFullAndRecoversAlone) {
  const Folder folder;
  std::signal(SIGXFSZ, SIG_IGN);
  rlimit before{};
  ::getrlimit(RLIMIT_FSIZE, &before);
  const rlimit small{256 * 1024, before.rlim_max};
  ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &small), 0);
  fill_and_recover(folder.file(), [&] { ::setrlimit(RLIMIT_FSIZE, &before); });
  ::setrlimit(RLIMIT_FSIZE, &before);
}

TEST(FullDiskTest, ASmallDiskIsToldAsFullAndRecoversAlone) {
  const Folder folder;
  if (::mount("tmpfs", folder.path.c_str(), "tmpfs", 0, "size=400k") != 0)
    GTEST_SKIP() << "no right to mount a small disk: the limit on files stands in";
  write_bytes(folder.file("ballast"), std::string(100'000, 'b'));
  fill_and_recover(folder.file(), [&] { fs::remove(folder.file("ballast")); });
  ::umount(folder.path.c_str());
}

// A PostgreSQL of this test's own, for it is stopped and killed.
class PostgresFaultTest : public testing::Test {
 protected:
  PostgresFaultTest() { script("start"); }
  ~PostgresFaultTest() override { script("stop"); }
  void script(const std::string& action) {
    EXPECT_EQ(std::system((AGONIC_SOURCE_DIR "/tests/server/postgres.sh " + action + " " + file).c_str()), 0) << action;
  }
  std::string address() {
    std::ifstream in(file);
    std::string line;
    std::getline(in, line);
    return line;
  }
  Folder folder;
  const std::string file = folder.file("postgres");
};

TEST_F(PostgresFaultTest, PausedItIsGoneWithinTwoSecondsReadsGoOnAndItComesBack) {
  Registry registry(open_store({Place::Kind::postgres, address(), {}, false}), today);
  ASSERT_EQ(registry.create(kAuthor, proposal("A"), {}).kind, Outcome::Kind::done);
  script("pause");
  for (int i = 0; i < 3; ++i) {
    const auto start = Clock::now();
    EXPECT_THROW(registry.create(kAuthor, proposal("B" + std::to_string(i)), {}), StoreFailure);
    EXPECT_LT(Clock::now() - start, 2s);
    const auto read = Clock::now();
    EXPECT_TRUE(registry.find("team", "A"));
    EXPECT_LT(Clock::now() - read, 2s);
  }
  EXPECT_TRUE(registry.trouble());
  script("resume");
  std::this_thread::sleep_for(1100ms);
  EXPECT_EQ(registry.create(kAuthor, proposal("C"), {}).kind, Outcome::Kind::done);
  EXPECT_FALSE(registry.trouble());
}

TEST_F(PostgresFaultTest, KilledItIsGoneAtOnceAndTheRegistryFindsItAgain) {
  const std::string where = address();
  Registry registry(open_store({Place::Kind::postgres, where, {}, false}), today);
  ASSERT_EQ(registry.create(kAuthor, proposal("A"), {}).kind, Outcome::Kind::done);
  script("stop");
  const auto start = Clock::now();
  EXPECT_THROW(registry.create(kAuthor, proposal("B"), {}), StoreFailure);
  EXPECT_LT(Clock::now() - start, 2s);
  EXPECT_TRUE(registry.find("team", "A"));
  // One that was away from the start is found when it comes.
  Registry late(open_store({Place::Kind::postgres, where, {}, false}), today);
  EXPECT_THROW(late.list("team"), StoreFailure);
}

TEST(PlaceTest, IsTheOptionThenTheServiceManagersFolderThenTheUsers) {
  std::map<std::string, std::string> variables;
  const Environment environment = [&](const char* name) {
    const auto found = variables.find(name);
    return found == variables.end() ? nullptr : found->second.c_str();
  };
  EXPECT_EQ(place_of("", "", environment).kind, Place::Kind::none);
  variables["HOME"] = "/home/u";
  EXPECT_EQ(place_of("", "", environment).where, "/home/u/.local/state/agonic/registry.sqlite");
  EXPECT_TRUE(place_of("", "", environment).by_default);
  variables["XDG_STATE_HOME"] = "/x";
  EXPECT_EQ(place_of("", "", environment).where, "/x/agonic/registry.sqlite");
  variables["STATE_DIRECTORY"] = "/var/lib/agonic:/var/lib/other";
  EXPECT_EQ(place_of("", "", environment).where, "/var/lib/agonic/registry.sqlite");
  EXPECT_EQ(place_of("", "", environment).operator_key, "/var/lib/agonic/operator.key");
  EXPECT_EQ(place_of("", "/s", environment).where, "/s/registry.sqlite");
  EXPECT_EQ(place_of("/r/mine.db", "/s", environment).where, "/r/mine.db");
  EXPECT_EQ(place_of("/r/mine.db", "/s", environment).operator_key, "/r/operator.key");
  EXPECT_EQ(place_of("none", "/s", environment).kind, Place::Kind::none);
  const Place far = place_of("postgresql://h/d", "/s", environment);
  EXPECT_EQ(far.kind, Place::Kind::postgres);
  EXPECT_EQ(far.operator_key, "/s/operator.key");
}

TEST(OperatorKeyTest, IsMadeOnceForItsOwnerAlone) {
  const Folder folder;
  const std::string file = folder.file("operator.key");
  const OperatorKey made = operator_key(file);
  EXPECT_TRUE(made.made);
  EXPECT_EQ(fs::status(file).permissions(), fs::perms::owner_read | fs::perms::owner_write);
  const OperatorKey again = operator_key(file);
  EXPECT_FALSE(again.made);
  EXPECT_EQ(again.digest, made.digest);
  fs::permissions(file, fs::perms::owner_read | fs::perms::others_read);
  EXPECT_EQ(operator_key(file).digest, "");
  EXPECT_NE(operator_key(file).trouble, "");
  fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write);
  write_bytes(file, "1234\n");
  EXPECT_EQ(operator_key(file).digest, "");
  EXPECT_NE(operator_key("/proc/none/operator.key").trouble, "");
}

}  // namespace
}  // namespace agonic::server::registry
