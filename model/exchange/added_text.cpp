#include "model/exchange/added_text.hpp"

#include <bit>
#include <cstring>
#include <nlohmann/json.hpp>

#include "model/units/number.hpp"

namespace agonic::exchange {

using reading::Added;
using reading::Outcome;

bool of_a_correction(std::string_view name) noexcept {
  constexpr std::string_view kEarlier = "earlier_";
  while (name.starts_with(kEarlier)) name.remove_prefix(kEarlier.size());
  return reading::added_of(name).has_value();
}

bool is_utf8(std::string_view text) noexcept {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  for (std::size_t i = 0; i < text.size();) {
    const unsigned lead = byte(i++);
    if (lead < 0x80) continue;
    if (lead < 0xC2 || lead > 0xF4) return false;
    const std::size_t more = lead < 0xE0 ? 1 : lead < 0xF0 ? 2 : 3;
    if (text.size() - i < more) return false;
    // The first byte that follows excludes overlong forms, surrogates and what lies beyond U+10FFFF.
    const unsigned low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;
    const unsigned high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF;
    if (byte(i) < low || byte(i) > high) return false;
    for (std::size_t k = 1; k < more; ++k)
      if ((byte(i + k) & 0xC0U) != 0x80) return false;
    i += more;
  }
  return true;
}

std::string json_string(std::string_view text) {
  Text out;
  append_json_string(text, out);
  return std::string(out.view());
}

void append_cell(Added column, double value, char decimal_mark, Text& out) {
  const std::size_t begin = out.size();
  if (is_azimuth(column))
    out.azimuth(value);
  else
    out.fixed(value, 3);
  // Differences lie in (-180, 180]: what rounds to the open end prints as the closed one.
  if (value < -179 && out.view().substr(begin) == "-180.000") {
    out.shorten(begin);
    out += "180.000";
  }
  if (decimal_mark != '.') out.data()[out.view().find('.', begin)] = decimal_mark;
}

namespace {

// `"azimuth_true":` and so on.
const std::array<std::string, reading::kAdded>& keys() {
  static const auto all = [] {
    std::array<std::string, reading::kAdded> made;
    for (std::size_t i = 0; i < made.size(); ++i)
      made[i] = (i > 0 ? ",\"" : "\"") + std::string(name(static_cast<Added>(i))) + "\":";
    return made;
  }();
  return all;
}

void append_text(const Outcome& outcome, Added column, Text& out) {
  const auto text = [&](std::string_view value) {
    if (value.empty())
      out += "null";
    else
      append_json_string(value, out);
  };
  switch (column) {
    case Added::date_used:
      return text(outcome.date_used);
    case Added::model:
      return text(outcome.model);
    case Added::software:
      return text(kSoftware);
    case Added::status:
      return text(word(outcome.status));
    case Added::remark:
      return text(outcome.remark);
    case Added::checks: {
      out += '[';
      for (std::size_t k = 0; k < outcome.checks.size(); ++k) {
        if (k > 0) out += ',';
        append_json_string(outcome.checks[k], out);
      }
      out += ']';
      return;
    }
    default:
      return text(outcome.azimuth_true_text);
  }
}

}  // namespace

void AddedMembers::append(const Outcome& outcome, bool with_target, Text& out) {
  const std::size_t count = with_target ? reading::kAdded : reading::kAdded - 1;
  for (std::size_t i = 0; i < count; ++i) {
    const auto column = static_cast<Added>(i);
    out += keys()[i];
    if (is_text(column)) {
      append_text(outcome, column, out);
      continue;
    }
    const auto& value = outcome.numbers[i];
    if (!value) {
      out += "null";
      continue;
    }
    Last& last = last_[i];
    const auto bits = std::bit_cast<std::uint64_t>(*value);
    char* const to = out.room(64);
    if (last.bits != bits) {
      const char* const end = nlohmann::detail::to_chars(to, to + 64, *value);
      last.bits = bits;
      last.length = static_cast<std::uint8_t>(end - to);  // at most 24
      std::memcpy(last.text.data(), to, last.text.size());
    } else {
      std::memcpy(to, last.text.data(), last.text.size());
    }
    out.advance(to + last.length);
  }
}

}  // namespace agonic::exchange
