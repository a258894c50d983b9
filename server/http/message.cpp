#include "server/http/message.hpp"

#include <algorithm>

namespace agonic::server {

std::optional<std::string_view> Request::header(std::string_view name) const {
  for (const NamedText& header : headers)
    if (header.first == name) return header.second;
  return std::nullopt;
}

bool same_text(std::string_view a, std::string_view b) noexcept {
  const auto small = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [&](char x, char y) { return small(x) == small(y); });
}

}  // namespace agonic::server
