// The parameters of a batch, told apart: defaults of columns, and options beside them.
#pragma once

#include <optional>

#include "model/exchange/batch.hpp"
#include "model/reading/rules.hpp"

namespace agonic::exchange {

struct Options {
  reading::Rules rules;
  std::optional<char> delimiter;     ///< CSV; else settled from the header
  std::optional<char> decimal_mark;  ///< CSV; else settled in the head of the file
  bool again = false;                ///< a file that was corrected before is taken, its corrections undone first
};

/// Refuses unknown names and values that cannot be read.
Result<Options> parse_options(const Parameters& parameters, std::chrono::sys_days today);
/// Refuses a model that is not at hand, with those that are.
std::optional<Problem> check_model(const Options& options, const field::Catalogue& catalogue);
/// Adds a member of JSON `defaults`; null stands for nothing, but for "unknown" where that is a value.
/// Where both name it, the parameters given beside the document stand before it.
std::optional<Problem> add_default(Options& options, const Parameters& given, std::string_view name,
                                   std::optional<std::string> value);

/// The names that options may have besides the columns.
inline constexpr std::array<std::string_view, 8> kOptionNames{"model",     "letters",        "date_order", "decimal",
                                                              "delimiter", "force_unusable", "again",      "datum"};

}  // namespace agonic::exchange
