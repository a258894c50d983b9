// JSON as bytes: where values begin and end, so that what passes through stays as it came.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace agonic::exchange {

/// Cuts one JSON value out of a stream by its structure alone (strings, brackets); whether it is sound inside is told
/// later, slice by slice.
class ValueScanner {
 public:
  /// Takes one byte of a value. @return true when the value is complete *before* this byte for numbers and words
  /// (the byte is not part of it: see consumed()), or with it for strings, arrays and objects.
  bool take(char c);
  [[nodiscard]] bool consumed() const { return consumed_; }
  [[nodiscard]] int depth() const { return depth_; }
  void reset() { *this = {}; }

 private:
  int depth_ = 0;
  bool in_string_ = false, escaped_ = false, begun_ = false, plain_ = false, consumed_ = true;
};

bool json_space(char c) noexcept;

/// One member of an object given as text that is known to be sound JSON.
struct Member {
  std::size_t key_begin, key_end;  ///< with its quotes
  std::size_t value_begin, value_end;
};
/// Walks the members of the object at the front of `object`; any other value has none. Start with std::nullopt.
std::optional<Member> next_member(std::string_view object, const std::optional<Member>& previous);
/// The last member with this key.
/// @param twice set to true if there are several
std::optional<Member> find_member(std::string_view object, std::string_view key, bool* twice = nullptr);

/// Does the text hold one sound JSON value, nested no deeper than `deepest`? Duplicate keys are not looked for.
bool sound_json(std::string_view text, std::size_t deepest);
/// A JSON string with its quotes as text.
std::string unescape_json(std::string_view quoted);

}  // namespace agonic::exchange
