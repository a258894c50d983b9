// What every command shares: where results and messages go, what day it is, which models are loaded.
#pragma once

#include <chrono>
#include <stdexcept>
#include <string>

#include "model/field/catalogue.hpp"
#include "model/units/parameters.hpp"

namespace agonic::cli {

/// Exit codes, as the manual states them.
enum Exit : int {
  kDone = 0,
  kRowsRefused = 1,  ///< some or all rows, or a place where no needle works
  kWrongUse = 2,     ///< options, missing columns, a mistyped place or date, a file that is not what it should be
  kFailed = 3,       ///< files that cannot be opened or written, server or models
};

/// Options that all commands take.
struct Common {
  bool json = false;
  std::string coefficients;  ///< folder with newer models
  std::string server;        ///< URL; empty: work here
};

/// Wrong use that shows only while a command runs.
class UsageFault : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// The UTC day; AGONIC_TODAY overrides it, so that what was printed once can be printed again.
/// Throws UsageFault where that is no date.
std::chrono::sys_days today();

/// A remedy in the words of this command: "again=yes" becomes "--again", "datum=wgs84" "--datum wgs84".
std::string as_options(const std::string& remedy);

/// Says what is wrong on standard error (as JSON with `json`) and tells the exit code.
int report(const Problem& problem, bool json);
/// A file, a server or the models failed: the same way.
void report_failure(const std::string& what, bool json);
int exit_code(Code code);

}  // namespace agonic::cli
