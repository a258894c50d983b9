// The members of a JSON object given as text, one after the other, the whole checked on the way.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/reading/columns.hpp"

namespace agonic::exchange {

/// What a member's name means to a row.
struct JsonName {
  std::string text;
  std::optional<reading::Column> column;
  std::optional<reading::Added> added;
  std::optional<reading::Column> nearly;  ///< see reading::nearly
};

struct JsonMember {
  const JsonName& name;
  char type;               ///< its first character: a quote, a brace, a bracket, t, f, n, or that of a number
  std::string_view value;  ///< as it came, without space around it
  std::string_view text;   ///< of a string: unescaped; valid until the next object
};

/// Reads objects with simdjson's on-demand parser, whose memory is kept. One a thread.
class JsonMembers {
 public:
  JsonMembers();
  ~JsonMembers();
  JsonMembers(const JsonMembers&) = delete;
  JsonMembers& operator=(const JsonMembers&) = delete;
  /// @param object followed by kRowPadding readable bytes
  /// @return false if it is no sound JSON object in UTF-8, or nested deeper than `deepest`, or holds a number beyond a
  ///   double; some members may have been visited by then
  bool visit(std::string_view object, std::size_t deepest, const std::function<void(const JsonMember&)>& member);

 private:
  const JsonName& name_at(std::size_t place, std::string_view text);
  struct Parser;
  std::unique_ptr<Parser> parser_;
  std::vector<std::unique_ptr<JsonName>> names_;  // by their place in the last object: rows are alike
};

}  // namespace agonic::exchange
