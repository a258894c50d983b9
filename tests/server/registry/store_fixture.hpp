// Stores of both kinds, each test with one of its own.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <memory>
#include <string>

#include "server/registry/postgres_database.hpp"
#include "server/registry/sql_store.hpp"
#include "server/registry/sqlite_database.hpp"

namespace agonic::server::registry {

namespace fs = std::filesystem;

inline std::string unique_name(const std::string& prefix) {
  static std::atomic<int> count = 0;
  return prefix + std::to_string(::getpid()) + "_" + std::to_string(++count);
}

/// A folder that is gone with the object.
class Folder {
 public:
  Folder() : path(fs::temp_directory_path() / unique_name("agonic_registry_")) {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~Folder() { fs::remove_all(path); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string file(const std::string& name = "registry.sqlite") const { return (path / name).string(); }
  const fs::path path;
};

/// The PostgreSQL that CTest started for the tests (tests/server/postgres.sh).
inline std::string postgres_address() {
  std::ifstream in(AGONIC_POSTGRES_FILE);
  std::string address;
  std::getline(in, address);
  if (address.empty()) throw std::runtime_error("no PostgreSQL: run the tests by ctest, which starts one");
  return address;
}

/// `GetParam()` is "sqlite" or "postgres".
class StoreTest : public testing::TestWithParam<const char*> {
 protected:
  void SetUp() override {
    if (std::string(GetParam()) == "postgres") {
      const std::string schema = unique_name("test_");
      const auto admin = open_postgres(postgres_address());
      admin->run("CREATE SCHEMA " + schema);
      address = postgres_address() + "&options=-csearch_path%3D" + schema;
    }
  }
  std::unique_ptr<Database> database() { return address.empty() ? open_sqlite(folder.file()) : open_postgres(address); }
  std::unique_ptr<Store> store() { return std::make_unique<SqlStore>(database()); }

  Folder folder;
  std::string address;
};

inline ChangeRow change_row(const std::string& team, const std::string& id, int version,
                            const std::string& why = "why") {
  return {0, team, id, version, "description", R"({"note":"n"})", "who", "2026-01-01T00:00:00Z", why};
}

}  // namespace agonic::server::registry
