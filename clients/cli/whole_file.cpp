#include "clients/cli/whole_file.hpp"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <stdexcept>

namespace agonic::cli {

std::string whole_file(const std::string& path, std::size_t most) {
  const bool standard = path == "-";
  std::error_code error;
  if (!standard && std::filesystem::is_directory(path, error)) throw std::runtime_error(path + ": is a folder");
  std::FILE* const file = standard ? stdin : std::fopen(path.c_str(), "rb");
  if (file == nullptr) throw std::runtime_error(path + ": " + std::strerror(errno));
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> closing(standard ? nullptr : file, std::fclose);
  std::string text;
  std::string piece(64 * 1024, '\0');
  while (text.size() <= most) {
    const std::size_t count = std::fread(piece.data(), 1, piece.size(), file);
    if (count == 0 && std::ferror(file) != 0) throw std::runtime_error(path + ": " + std::strerror(errno));
    if (count == 0) break;
    text.append(piece, 0, count);
  }
  return text;
}

}  // namespace agonic::cli
