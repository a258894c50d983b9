#include "model/units/yes.hpp"

#include "model/units/number.hpp"

namespace agonic {

Result<bool> parse_yes(std::string_view text, std::string_view field) {
  const std::string word = lower(trim(text));
  if (word == "yes" || word == "true" || word == "1" || word == "y") return true;
  if (word.empty() || word == "no" || word == "false" || word == "0" || word == "n") return false;
  return Problem{Code::unknown_name, std::string(field), std::string(text), "this is neither yes nor no",
                 "Give yes or no"};
}

}  // namespace agonic
