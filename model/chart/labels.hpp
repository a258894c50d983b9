// Lines on the paper: thinned where they crowd, with labels that follow them.
#pragma once

#include <string>
#include <vector>

#include "model/chart/chart.hpp"
#include "model/chart/projection.hpp"

namespace agonic::chart {

/// A stretch of a line that is drawn.
struct Stretch {
  double level = 0;
  double rank =
      0;  ///< the roundest interval that this level is a multiple of: rounder lines stay where others give way
  std::vector<std::vector<paper::Point>> pieces;  ///< one, or more where labels stand in it
};

/// The lines of a chart on the paper, without the stretches where lines of their rank lie closer than `least_gap`.
std::vector<Stretch> stretches(const Chart& chart, const Projection& projection, double least_gap);

/// Room on the paper that is taken.
class Taken {
 public:
  [[nodiscard]] bool free(paper::Point at, double radius) const;
  void take(paper::Point at, double radius) { spots_.push_back({at, radius}); }

 private:
  struct Spot {
    paper::Point at;
    double radius;
  };
  std::vector<Spot> spots_;
};

/// Labels along stretches, upright, where the line is straight enough, none over another or over what is taken. The
/// lines are opened where a label of their own stands.
/// @param text what stands for the level of each stretch
std::vector<paper::Label> label(std::vector<Stretch>& lines, const Projection& projection, double size,
                                const std::vector<std::string>& text, Taken& taken);

}  // namespace agonic::chart
