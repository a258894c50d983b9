// The registry in a file of its own, by SQLite.
#pragma once

#include <memory>
#include <string>

#include "server/registry/database.hpp"

namespace agonic::server::registry {

/// Opens or makes the file (mode 0600), brings its layout up to date, and checks that it is sound.
/// Write-ahead log, synchronous=FULL: what has been acknowledged is on the disk.
/// @param path ":memory:" keeps it in memory, for tests
/// Throws StoreFailure: `damaged` also for a file that is no registry, or one of a newer agonicd.
std::unique_ptr<Database> open_sqlite(const std::string& path);

/// Checks a backup and puts it in place of the registry: what stood there stays beside it, under a name that ends in
/// ".before-restore". Returns that name; empty where nothing stood there.
/// Throws StoreFailure; nothing has then been changed. No agonicd may have the registry open.
std::string restore_sqlite(const std::string& backup, const std::string& path);

}  // namespace agonic::server::registry
