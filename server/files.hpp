// Files that agonicd writes at its start.
#pragma once

#include <string>

namespace agonic::server {

/// Writes the whole text or nothing: beside, then renamed. Throws std::runtime_error.
void write_atomically(const std::string& path, const std::string& text);

}  // namespace agonic::server
