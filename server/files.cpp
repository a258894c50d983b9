#include "server/files.hpp"

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <stdexcept>

namespace agonic::server {

namespace fs = std::filesystem;

void write_atomically(const std::string& path, const std::string& text) {
  const std::string beside = path + "." + std::to_string(::getpid()) + ".new";
  {
    std::ofstream file(beside, std::ios::binary | std::ios::trunc);
    file << text;
    file.flush();
    if (!file) throw std::runtime_error(beside + ": cannot be written");
  }
  std::error_code error;
  fs::rename(beside, path, error);
  if (error) throw std::runtime_error(path + ": " + error.message());
}

}  // namespace agonic::server
