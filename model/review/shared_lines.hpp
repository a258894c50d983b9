// Lines and structures that several groups measured: what shows that one group was corrected otherwise than the rest.
//
// A group is held against all the others on every line they share, line by line: difference of circular means, of axes
// by doubled angles (survey/statistics.hpp). The differences give an offset by their weighted median, those beyond four
// robust sigmas left out, with its standard error. The group that explains most (offset squared times weight) is told
// and taken out, then the rest is looked at again, so that one bad group does not make the good ones look bad.
#pragma once

#include <cstddef>
#include <vector>

#include "model/review/findings.hpp"
#include "model/review/notebook.hpp"

namespace agonic::review {

/// Readings of one line, structure or station.
struct SharedLine {
  std::vector<std::size_t> entries;
  double period_deg = 360;  ///< 180 for planes: strikes are compared as axes
  bool by_place = false;    ///< planes near each other without a name: only alike dips are compared
  /// The angle that is compared.
  static double angle(const Entry& entry) noexcept;
  /// What it would be if 360 minus the reading had been meant.
  static double mirrored(const Entry& entry) noexcept;
};

/// Every line with two readings and more.
std::vector<SharedLine> shared_lines(const Notebook& notebook);

/// One group against all others.
struct GroupOffset {
  Factor factor{};
  NameId group = 0;
  double offset_deg = 0;   ///< its directions minus theirs, clockwise positive
  double sigma_deg = 0;    ///< standard error
  double scatter_deg = 0;  ///< standard deviation of the differences from line to line
  double weight = 0;       ///< sum of the lines' weights, 1 / variance
  int lines = 0;
  bool mirrored = false;              ///< its readings run the other way round
  double scatter_f = 0;               ///< scatter against repeated readings, by F
  std::vector<std::size_t> entries;   ///< its rows, all of them
  std::vector<std::size_t> on_lines;  ///< its rows on the shared lines
  std::vector<std::size_t> others;    ///< the others' rows there
};

struct SharedResult {
  std::vector<SharedLine> lines;
  std::vector<std::size_t> wrong_ends;
  std::vector<GroupOffset> told;        ///< the groups that stand apart, the most telling first
  std::vector<GroupOffset> scattering;  ///< groups whose difference changes from line to line
  std::vector<Residual> residuals;
  double repeat_sigma_deg = 0;  ///< 1-sigma of one reading; 0 where nothing was repeated
  int repeat_dof = 0;
};

SharedResult look_at_shared_lines(const Notebook& notebook);

}  // namespace agonic::review
