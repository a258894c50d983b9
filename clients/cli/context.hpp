// What every command shares: where results and messages go, what day it is, which models are loaded.
#pragma once

#include <chrono>
#include <string>

#include "model/field/catalogue.hpp"
#include "model/units/parameters.hpp"

namespace agonic::cli {

/// Exit codes, as the manual states them.
enum Exit : int {
  kDone = 0,
  kRowsRefused = 1,  ///< some or all rows, or a place where no needle works
  kWrongUse = 2,     ///< options, missing columns, a mistyped place or date
  kFailed = 3,       ///< files, server or models
};

/// Options that all commands take.
struct Common {
  bool json = false;
  std::string coefficients;  ///< folder with newer models
  std::string server;        ///< URL; empty: work here
};

/// The UTC day; AGONIC_TODAY overrides it, so that what was printed once can be printed again.
/// Throws std::runtime_error where that is no date.
std::chrono::sys_days today();

/// Says what is wrong on standard error (as JSON with `json`) and tells the exit code.
int report(const Problem& problem, bool json);
/// A file, a server or the models failed: the same way.
void report_failure(const std::string& what, bool json);
int exit_code(Code code);

}  // namespace agonic::cli
