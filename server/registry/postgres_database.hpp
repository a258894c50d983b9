// The registry in PostgreSQL, for several servers.
#pragma once

#include <memory>
#include <string>

#include "server/registry/database.hpp"

namespace agonic::server::registry {

/// Connects when first asked, brings the layout up to date under an advisory lock, and connects anew when the server
/// comes back. Every call ends within about 1.5 seconds, whatever the server does.
/// @param address postgresql://…; its password is never shown
std::unique_ptr<Database> open_postgres(const std::string& address);

}  // namespace agonic::server::registry
