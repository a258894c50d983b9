// What the field tests share: the built-in models, loaded once, and small text helpers.
#pragma once

#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "model/field/catalogue.hpp"

namespace agonic::field {

inline const Catalogue& built_in_catalogue() {
  static const Catalogue catalogue(built_in_texts());
  return catalogue;
}

inline const CoefficientSet& built_in(std::string_view id) { return *built_in_catalogue().find(id); }

inline const std::vector<std::string>& all_ids() {
  static const std::vector<std::string> ids{"wmm2025", "wmmhr2025", "wmm2020", "igrf14", "gufm1"};
  return ids;
}

/// A file of the source tree.
inline std::string source_file(const std::string& path) {
  std::ifstream in(std::string(AGONIC_SOURCE_DIR) + "/" + path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

/// The text with its first `from` replaced. Fails loudly where there is none, so that no test loses its point.
inline std::string replaced(std::string text, std::string_view from, std::string_view to) {
  const auto at = text.find(from);
  if (at == std::string::npos) throw std::logic_error("not in the text: " + std::string(from));
  return text.replace(at, from.size(), to);
}

}  // namespace agonic::field
