// Inside of the card only: columns of text that flow, and the diagram.
#pragma once

#include <string>

#include "model/card/card.hpp"

namespace agonic::card {

inline constexpr double kBody = 3.55;  ///< mm: 10 points and a little
inline constexpr double kLine = 4.45;  ///< from line to line

/// "13.69° W", "0.00°".
std::string side_words(double degrees, int decimals = 2);
/// "13.69° W (-13.69)".
std::string both_ways(double degrees, int decimals = 2);
/// "056.7": an azimuth in [0, 360), rounded, three figures before the point.
std::string azimuth_words(double degrees, int decimals = 1);

/// A quarter of the page: writes downwards.
class Column {
 public:
  Column(paper::Drawing& out, double x, double y, double width, double bottom)
      : out_(out), x_(x), y_(y), width_(width), bottom_(bottom) {}
  /// Is there room for this text, and for `more` millimetres besides?
  [[nodiscard]] bool fits(const std::string& text, double more = 0) const;
  /// How many lines of the body still go in.
  [[nodiscard]] std::size_t lines_left() const;
  /// The text cut to one line.
  [[nodiscard]] std::string one_line(std::string text, double size = kBody,
                                     paper::Weight weight = paper::Weight::normal) const;
  void heading(const std::string& text);
  /// Wrapped lines.
  void text(const std::string& text, double size = kBody, paper::Weight weight = paper::Weight::normal);
  /// A line to write on behind the words, to the right edge.
  void blank(const std::string& text);
  /// A row of cells, each at its place across the column (0 to 1), centred.
  void row(const std::vector<std::string>& cells, paper::Weight weight = paper::Weight::normal);
  void rule(double thickness = 0.2);
  void space(double mm) { y_ += mm; }
  [[nodiscard]] double y() const { return y_; }
  [[nodiscard]] double x() const { return x_; }
  [[nodiscard]] double width() const { return width_; }

 private:
  void put(double x, const std::string& text, double size, paper::Weight weight, paper::Anchor anchor);
  paper::Drawing& out_;
  double x_, y_, width_, bottom_;  // y: the top of the next line
};

/// North arrows: which side grid and magnetic north lie on is right, how far is not. In a box of `width` by
/// kDiagramHeight at (x, y).
inline constexpr double kDiagramHeight = 54;
void draw_norths(paper::Drawing& out, double x, double y, double width, double declination_deg,
                 std::optional<double> convergence_deg);

}  // namespace agonic::card
