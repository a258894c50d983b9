#include "model/exchange/added_text.hpp"

#include <nlohmann/json.hpp>

#include "model/units/number.hpp"

namespace agonic::exchange {

using reading::Added;
using reading::Outcome;

std::string software() { return "agonic " AGONIC_VERSION; }

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
  return nlohmann::json(text).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

std::string json_number(double value) { return nlohmann::json(value).dump(); }

namespace {

std::string joined(const std::vector<std::string_view>& codes) {
  std::string out;
  for (std::string_view code : codes) {
    if (!out.empty()) out += ' ';
    out += code;
  }
  return out;
}

std::string text_of(const Outcome& outcome, Added column) {
  switch (column) {
    case Added::date_used:
      return outcome.date_used;
    case Added::model:
      return outcome.model;
    case Added::software:
      return software();
    case Added::status:
      return std::string(word(outcome.status));
    case Added::checks:
      return joined(outcome.checks);
    case Added::remark:
      return outcome.remark;
    case Added::azimuth_true_text:
      return outcome.azimuth_true_text;
    default:
      return {};
  }
}

bool is_text(Added column) { return column >= Added::date_used && column <= Added::azimuth_true_text; }

}  // namespace

std::string added_cell(const Outcome& outcome, Added column, char decimal_mark) {
  if (is_text(column)) return text_of(outcome, column);
  const auto& value = outcome.number(column);
  if (!value) return {};
  std::string text = is_azimuth(column) ? format_azimuth(*value) : format_fixed(*value, 3);
  // Differences lie in (-180, 180]: what rounds to the open end prints as the closed one.
  if (text == "-180.000") text = "180.000";
  if (decimal_mark != '.') text[text.find('.')] = decimal_mark;
  return text;
}

std::string added_members(const Outcome& outcome, bool with_target) {
  std::string out;
  for (std::size_t i = 0; i < reading::kAdded; ++i) {
    const auto column = static_cast<Added>(i);
    if (column == Added::azimuth_at_target && !with_target) break;
    if (!out.empty()) out += ',';
    out += '"';
    out += name(column);
    out += "\":";
    if (column == Added::checks) {
      out += '[';
      for (std::size_t k = 0; k < outcome.checks.size(); ++k)
        out += (k ? ",\"" : "\"") + std::string(outcome.checks[k]) + '"';
      out += ']';
    } else if (is_text(column)) {
      const std::string text = text_of(outcome, column);
      out += text.empty() ? "null" : json_string(text);
    } else {
      const auto& value = outcome.number(column);
      out += value ? json_number(*value) : "null";
    }
  }
  return out;
}

}  // namespace agonic::exchange
