#include "model/exchange/json_text.hpp"

#include <nlohmann/json.hpp>

namespace agonic::exchange {
namespace {

// Follows a document without building it.
class DepthGuard : public nlohmann::json_sax<nlohmann::json> {
 public:
  explicit DepthGuard(std::size_t deepest) : deepest_(deepest) {}
  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t&) override { return true; }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool start_object(std::size_t) override { return ++depth_ <= deepest_; }
  bool key(string_t&) override { return true; }
  bool end_object() override { return --depth_, true; }
  bool start_array(std::size_t) override { return ++depth_ <= deepest_; }
  bool end_array() override { return --depth_, true; }
  bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception&) override { return false; }

 private:
  std::size_t deepest_, depth_ = 0;
};

std::size_t skip_space(std::string_view text, std::size_t at) {
  while (at < text.size() && json_space(text[at])) ++at;
  return at;
}

std::size_t value_end(std::string_view text, std::size_t begin) {
  ValueScanner scanner;
  for (std::size_t i = begin; i < text.size(); ++i)
    if (scanner.take(text[i])) return scanner.consumed() ? i + 1 : i;
  return text.size();
}

}  // namespace

bool json_space(char c) noexcept { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

bool ValueScanner::take(char c) {
  consumed_ = true;
  if (in_string_) {
    if (escaped_)
      escaped_ = false;
    else if (c == '\\')
      escaped_ = true;
    else if (c == '"') {
      in_string_ = false;
      return depth_ == 0;
    }
    return false;
  }
  if (!begun_) {
    begun_ = true;
    plain_ = c != '"' && c != '{' && c != '[';
  } else if (plain_ && (c == ',' || c == '}' || c == ']' || json_space(c))) {
    consumed_ = false;
    return true;
  }
  if (c == '"')
    in_string_ = true;
  else if (c == '{' || c == '[')
    ++depth_;
  else if (c == '}' || c == ']')
    return --depth_ <= 0;
  return false;
}

std::optional<Member> next_member(std::string_view object, const std::optional<Member>& previous) {
  if (!object.starts_with('{')) return std::nullopt;
  std::size_t at = previous ? skip_space(object, previous->value_end) : skip_space(object, 0);
  if (at >= object.size() || object[at] == '}') return std::nullopt;
  at = skip_space(object, at + 1);  // past '{' or ','
  if (at >= object.size() || object[at] != '"') return std::nullopt;
  Member member{};
  member.key_begin = at;
  member.key_end = value_end(object, at);
  at = skip_space(object, member.key_end);
  member.value_begin = skip_space(object, at + 1);  // past ':'
  member.value_end = value_end(object, member.value_begin);
  return member;
}

std::optional<Member> find_member(std::string_view object, std::string_view key, bool* twice) {
  std::optional<Member> found;
  for (auto member = next_member(object, std::nullopt); member; member = next_member(object, member))
    if (unescape_json(object.substr(member->key_begin, member->key_end - member->key_begin)) == key) {
      if (twice != nullptr && found) *twice = true;
      found = member;
    }
  return found;
}

bool sound_json(std::string_view text, std::size_t deepest) {
  DepthGuard guard(deepest);
  return nlohmann::json::sax_parse(text, &guard);
}

std::string unescape_json(std::string_view quoted) {
  if (quoted.find('\\') == std::string_view::npos && quoted.size() >= 2)
    return std::string(quoted.substr(1, quoted.size() - 2));
  const auto value = nlohmann::json::parse(quoted, nullptr, false);
  return value.is_string() ? value.get<std::string>() : std::string();
}

}  // namespace agonic::exchange
