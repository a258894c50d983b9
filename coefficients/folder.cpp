#include "coefficients/folder.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "model/units/number.hpp"

namespace agonic {
namespace {

namespace fs = std::filesystem;
constexpr std::uintmax_t kFileMax = 64 << 20;  // the largest published table has 2 MB

std::string read_file(const fs::path& path) {
  std::error_code error;
  const std::uintmax_t size = fs::file_size(path, error);
  if (error) throw std::runtime_error(path.string() + ": " + error.message());
  if (size > kFileMax) throw std::runtime_error(path.string() + ": too large for a coefficient file");
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  if (!file || text.str().size() != size) throw std::runtime_error(path.string() + ": cannot be read");
  return std::move(text).str();
}

}  // namespace

std::vector<field::CoefficientText> read_coefficient_folder(const std::string& folder) {
  std::error_code error;
  std::vector<fs::path> paths;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error))
    paths.push_back(it->path());
  if (error) throw std::runtime_error(folder + ": " + error.message());
  std::sort(paths.begin(), paths.end());

  std::vector<field::CoefficientText> texts;
  for (const fs::path& path : paths) {
    const std::string ending = lower(path.extension().string());
    if (fs::is_directory(path) && fs::exists(path / "table.txt")) {
      const fs::path table = path / "table.txt";
      const fs::path about = path / "about.txt";
      texts.push_back({table.string(), read_file(table), about.string(), read_file(about)});
    } else if (ending == ".cof" || ending == ".shc") {
      texts.push_back({path.string(), read_file(path), {}, {}});
    }
  }
  if (texts.empty()) throw std::runtime_error(folder + ": holds no coefficient file");
  return texts;
}

std::vector<field::CoefficientText> coefficient_texts(const std::string& folder) {
  auto texts = field::built_in_texts();
  if (!folder.empty())
    for (auto& text : read_coefficient_folder(folder)) texts.push_back(std::move(text));
  return texts;
}

}  // namespace agonic
