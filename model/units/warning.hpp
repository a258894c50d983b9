// What goes along with an answer: a sentence and its code.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace agonic {

struct Warning {
  std::string_view code;  ///< public and stable, as in model/checks
  std::string text;       ///< a full sentence
};

/// The sentences of an answer and, in step with them, their codes.
struct Warned {
  std::vector<std::string> warnings, warning_codes;

  void warn(Warning warning) {
    warnings.push_back(std::move(warning.text));
    warning_codes.emplace_back(warning.code);
  }
};

}  // namespace agonic
