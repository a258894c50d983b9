#include "model/units/json_out.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

namespace agonic {

void append_json_string(std::string_view text, Text& out) {
  // Nearly all texts are plain ASCII without anything to escape.
  char* to = out.room(text.size() + 2);
  *to++ = '"';
  for (const char c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7E || c == '"' || c == '\\') {
      out += nlohmann::json(text).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
      return;
    }
    *to++ = c;
  }
  *to++ = '"';
  out.advance(to);
}

void append_json_number(double value, Text& out) {
  constexpr std::size_t kRoom = 64;
  if (!std::isfinite(value)) {
    out += "null";
    return;
  }
  char* const to = out.room(kRoom);
  out.advance(nlohmann::detail::to_chars(to, to + kRoom, value));
}

}  // namespace agonic
