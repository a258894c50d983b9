#include "model/paper/utf8.hpp"

namespace agonic::paper {
namespace {
bool has_character(char32_t letter) noexcept {
  return letter >= 0x20 && letter != 0x7F && !(letter >= 0xD800 && letter <= 0xDFFF) && letter != 0xFFFE &&
         letter != 0xFFFF && letter <= 0x10FFFF;
}
}  // namespace

char32_t next_letter(std::string_view text, std::size_t& at) noexcept {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(at);
  const std::size_t length = lead < 0x80                   ? 1
                             : lead >= 0xC2 && lead < 0xE0 ? 2
                             : lead >= 0xE0 && lead < 0xF0 ? 3
                             : lead >= 0xF0 && lead < 0xF5 ? 4
                                                           : 0;
  constexpr char32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};
  if (length == 0 || at + length > text.size()) {
    ++at;
    return kReplacement;
  }
  char32_t letter = length == 1 ? lead : lead & (0x7FU >> length);
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0U) != 0x80) {
      ++at;
      return kReplacement;
    }
    letter = (letter << 6U) | (byte(at + i) & 0x3FU);
  }
  if (letter < kLeast[length]) {
    ++at;
    return kReplacement;
  }
  at += length;
  return has_character(letter) ? letter : kReplacement;
}

void append_utf8(char32_t letter, std::string& out) {
  const auto tail = [&](unsigned shift) { out += static_cast<char>(0x80U | ((letter >> shift) & 0x3FU)); };
  if (letter < 0x80) {
    out += static_cast<char>(letter);
  } else if (letter < 0x800) {
    out += static_cast<char>(0xC0U | (letter >> 6U));
    tail(0);
  } else if (letter < 0x10000) {
    out += static_cast<char>(0xE0U | (letter >> 12U));
    tail(6);
    tail(0);
  } else {
    out += static_cast<char>(0xF0U | (letter >> 18U));
    tail(12);
    tail(6);
    tail(0);
  }
}

std::string clean(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) append_utf8(next_letter(text, at), out);
  return out;
}

}  // namespace agonic::paper
