// The looks that a review takes at a notebook, one file each. Each adds its findings.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "model/field/catalogue.hpp"
#include "model/review/findings.hpp"
#include "model/review/shared_lines.hpp"

namespace agonic::review {

struct Look {
  const field::Catalogue& catalogue;
  std::string_view model;
  const Notebook& book;
  std::vector<Finding>& findings;
  /// Rows whose place is asked about: left out of what is said of the declination.
  std::vector<char>& misplaced;

  Finding& add(Check check) const {
    findings.emplace_back().check = check;
    return findings.back();
  }
};

void look_at_places(const Look& look);
void look_at_groups(const Look& look, const SharedResult& shared);
void look_at_settings(const Look& look);
void look_at_dates(const Look& look);
void look_at_planes(const Look& look);
void look_at_figures(const Look& look);
void look_at_rows(const Look& look);

/// "instrument K7", "year 2009", "instrument K7 in 2009", "rows with the circle set to 3.40 E".
std::string group_words(const Notebook& book, Factor factor, NameId group);
/// "3.4 degrees clockwise"; the size without sign of a turn east.
std::string degrees_words(double degrees, int decimals = 1);
std::string clockwise_words(double degrees);
/// The rows of the group, rising.
std::vector<std::size_t> rows_of(const Notebook& book, Factor factor, NameId group);
/// The factor by which habits are looked at: observer, else instrument, else none (group 0 of `observer`).
Factor person(const Notebook& book);
/// The mean of a value over rows that have it; Entry::kNone if none has.
double mean_of(const Notebook& book, const std::vector<std::size_t>& rows, double Entry::*value);
double median_of(std::vector<double> values);

}  // namespace agonic::review
