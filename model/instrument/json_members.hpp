// Strict reading of small JSON objects. Private to the JSON edge of this room.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "model/instrument/record.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

using Json = nlohmann::ordered_json;

/// One JSON value; repeated names and more than eight levels are refused.
Result<Json> parse_strictly(std::string_view text);

/// The members of one object, taken one by one. The first thing wrong is kept, and what follows then takes defaults.
class Members {
 public:
  explicit Members(const Json& object) : object_(object) {}

  /// Null where absent.
  const Json* get(const char* name);
  std::string text(const char* name, std::string fallback = {});
  bool yes(const char* name, bool fallback);
  std::optional<double> number(const char* name);
  std::optional<int> count(const char* name);
  std::optional<std::chrono::sys_days> day(const char* name, std::chrono::sys_days today);
  void fail(Problem problem) {
    if (!problem_) problem_ = std::move(problem);
  }
  void wrong_type(const char* name, const char* wanted);
  /// The first problem, or the first member that was not asked for.
  [[nodiscard]] std::optional<Problem> problem() const;

 private:
  const Json& object_;
  std::set<std::string, std::less<>> asked_;
  std::optional<Problem> problem_;
};

/// The change that an object states.
Change read_change(ChangeKind kind, Members& members, std::chrono::sys_days today);
/// Its members, put into `out`.
void put_change(const Change& change, Json& out);
void put_recorded(const Recorded& recorded, Json& out);
/// UTF-8 as it is; bytes that are none are replaced.
std::string dump_text(const Json& json);

}  // namespace agonic::instrument
