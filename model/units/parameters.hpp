// Named texts as they come from a query, a JSON document or a command line: the edge before types.
#pragma once

#include <initializer_list>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic {

/// Where a parameter was written: a person's unsigned declination is refused, a program's means east.
enum class Writer { program, person };

/// Parameters of one call. Values are as given; an empty value counts as absent.
struct Parameters {
  std::map<std::string, std::string, std::less<>> values;
  Writer writer = Writer::program;

  [[nodiscard]] std::optional<std::string_view> get(std::string_view name) const;
  /// Refuses the first name that is not in `known`, with the nearest known one.
  [[nodiscard]] std::optional<Problem> unknown(std::initializer_list<std::string_view> known) const;
};

}  // namespace agonic
