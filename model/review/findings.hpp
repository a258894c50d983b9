// What a review tells: groups and what they have in common, and the questions to ask the owner.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "model/review/checks.hpp"
#include "model/review/notebook.hpp"

namespace agonic::review {

struct Answer {
  std::string answer;   ///< what the owner may say
  std::string follows;  ///< what is to be done then, and what it changes
};

/// One thing found. Nothing is changed by it.
struct Finding {
  Check check{};
  std::string what;      ///< a full sentence: what was seen, with its figures
  std::string question;  ///< to the owner; empty where there is nothing to ask
  std::vector<Answer> answers;
  std::vector<std::size_t> entries;  ///< places in the notebook, rising
  double degrees = 0;                ///< by how much a row of these would move, about
  std::string group;                 ///< the group it is about, "instrument K7"; empty: the file
  /// What it moves: degrees times rows.
  [[nodiscard]] double weight() const { return degrees * static_cast<double>(entries.size()); }
};

/// How a group stands against all others on the lines they share.
struct Standing {
  double offset_deg = 0;  ///< its directions minus theirs, clockwise positive
  double sigma_deg = 0;   ///< standard error
  int lines = 0;
};

struct Range {
  double low = Entry::kNone, high = Entry::kNone;
  void add(double value) noexcept {
    if (!review::has(low) || value < low) low = value;
    if (!review::has(high) || value > high) high = value;
  }
  [[nodiscard]] bool empty() const noexcept { return !review::has(low); }
  [[nodiscard]] double width() const noexcept { return empty() ? 0 : high - low; }
};

struct GroupReport {
  Factor factor{};
  std::string name;
  std::uint64_t rows = 0, refused = 0;
  std::optional<std::chrono::sys_days> first, last;
  Range declination, setting;
  std::optional<double> mean_deg;  ///< of its directions, where they have one
  bool mean_of_axes = false;
  std::optional<Standing> standing;
};

/// A reading on a shared line: how far it stands from the line's mean.
struct Residual {
  std::size_t entry = 0;
  double degrees = 0;  ///< clockwise positive
};

struct Report {
  Notebook notebook;
  Range declination, latitude, longitude;
  double median_declination = 0;
  std::optional<std::chrono::sys_days> first, last;
  std::uint64_t shared_lines = 0;  ///< with readings of more than one group
  double repeat_sigma_deg = 0;     ///< of one reading, from repeated ones of one group on one line; 0: none
  std::vector<GroupReport> groups;
  std::vector<Finding> findings;  ///< by what they move, the most first
  std::vector<Residual> residuals;
};

}  // namespace agonic::review
