// JSON written straight into a text, for what is answered often.
#pragma once

#include <charconv>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "model/units/text.hpp"

namespace agonic {

/// A text as a JSON string with its quotes (RFC 8259 7); bytes that are no UTF-8 become the replacement character.
void append_json_string(std::string_view text, Text& out);
/// The shortest text that reads back as the same double, always with a point or exponent; null if it is not finite.
void append_json_number(double value, Text& out);

/// One object: members in the order they are given, then end(). Names are plain ASCII.
class JsonObject {
 public:
  explicit JsonObject(Text& out) : out_(out) { out_ += '{'; }
  JsonObject& add(std::string_view name, double value) {
    key(name);
    append_json_number(value, out_);
    return *this;
  }
  JsonObject& add(std::string_view name, const std::optional<double>& value) {
    return value ? add(name, *value) : null(name);
  }
  JsonObject& add(std::string_view name, std::string_view value) {
    key(name);
    append_json_string(value, out_);
    return *this;
  }
  JsonObject& add(std::string_view name, const char* value) { return add(name, std::string_view(value)); }
  JsonObject& add(std::string_view name, bool value) {
    key(name);
    out_ += value ? std::string_view("true") : std::string_view("false");
    return *this;
  }
  JsonObject& add_count(std::string_view name, std::uint64_t value) {
    key(name);
    constexpr std::size_t kRoom = 20;
    char* const to = out_.room(kRoom);
    out_.advance(std::to_chars(to, to + kRoom, value).ptr);
    return *this;
  }
  JsonObject& add(std::string_view name, std::span<const std::string> texts) {
    key(name);
    out_ += '[';
    for (std::size_t i = 0; i < texts.size(); ++i) {
      if (i > 0) out_ += ',';
      append_json_string(texts[i], out_);
    }
    out_ += ']';
    return *this;
  }
  JsonObject& null(std::string_view name) {
    key(name);
    out_ += "null";
    return *this;
  }
  void end() { out_ += '}'; }

 private:
  void key(std::string_view name) {
    if (!first_) out_ += ',';
    first_ = false;
    out_ += '"';
    out_ += name;
    out_ += "\":";
  }
  Text& out_;
  bool first_ = true;
};

}  // namespace agonic
