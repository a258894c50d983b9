// A drawing as a list of what lies on the paper, from the bottom up: card, profile, plot and chart are all made of it.
//
// Lengths, text sizes and line widths are in the drawing's unit; x to the right, y down, the origin at the upper left
// corner; rotations in degrees, clockwise. Nothing here knows a file format: to_svg() (svg.hpp) and the pixels and
// pages of paper_raster do. Plain values without invariants; safe to copy and to share when not changed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::paper {

/// What one unit of length is: a millimetre, or a CSS pixel (1/96 inch).
enum class Unit { mm, px };
inline constexpr double kMmPerInch = 25.4;
inline constexpr double kPxPerInch = 96;

struct Point {
  double x = 0, y = 0;
};
struct Box {
  double x = 0, y = 0, width = 0, height = 0;
};

/// sRGB as 0xRRGGBB; opacity in [0, 1].
struct Colour {
  std::uint32_t rgb = 0;
  double opacity = 1;
};
inline constexpr Colour kBlack{0x000000};
inline constexpr Colour kWhite{0xFFFFFF};

/// A line's pen. Joins and the ends of undashed lines are round.
struct Stroke {
  Colour colour;
  double width = 0;
  std::vector<double> dash;  ///< lengths of ink and gap in turn; empty: unbroken
};

/// Parallel lines instead of a tint, for black ink. Lines of one hatch meet across neighbouring shapes.
struct Hatch {
  Colour colour;
  double spacing = 0;    ///< from line to line, > 0
  double width = 0;      ///< of a line
  double angle_deg = 0;  ///< of the lines: 0 lies flat, 45 falls to the right
};

/// Even-odd rule: a ring inside a ring is a hole. The tint lies below the hatch.
struct Fill {
  std::optional<Colour> colour;
  std::optional<Hatch> hatch;
};

enum class Verb : std::uint8_t { move, line, curve, close };  ///< they take 1, 1, 3 and 0 points

/// Lines and areas. Every part begins with move_to().
struct Path {
  std::vector<Verb> verbs;
  std::vector<Point> points;
  std::optional<Stroke> stroke;
  Fill fill;
  std::string name;   ///< class in the SVG, for style sheets: letters, digits, '-', '_' and blanks
  std::string title;  ///< what it is in words, for a screen reader or a hovering pointer; empty: none

  Path& move_to(Point to);
  Path& line_to(Point to);
  /// A cubic Bezier curve.
  Path& curve_to(Point first, Point second, Point to);
  Path& close();
  /// A new part through these points; fewer than two add nothing.
  Path& polyline(std::span<const Point> through, bool closed = false);
  Path& rectangle(const Box& box, double corner_radius = 0);
  Path& circle(Point centre, double radius);
  /// A new part from `from_deg` clockwise by `sweep_deg` (negative: the other way); 0 degrees points up, as a compass.
  Path& arc(Point centre, double radius, double from_deg, double sweep_deg);
};

enum class Anchor { start, middle, end };
enum class Weight { normal, bold };
/// Where a label's point lies: on the line the letters stand on, or half-way up the capitals.
enum class Level { baseline, middle };

/// One line of text, set in DejaVu Sans or the reader's sans-serif.
struct Label {
  Point at;
  std::string text;  ///< UTF-8
  double size = 0;   ///< of the type: the em, > 0
  Anchor anchor = Anchor::start;
  Level level = Level::baseline;
  Weight weight = Weight::normal;
  double rotation_deg = 0;  ///< about `at`
  Colour colour = kBlack;
  /// Drawn under the letters, half of the width outside of them, so that they stand out from lines.
  std::optional<Stroke> halo;
  std::string name;  ///< as in Path
};

/// Opens a group; all elements until the matching End belong to it.
struct Group {
  std::string name;         ///< as in Path
  std::string title;        ///< as in Path
  std::optional<Box> clip;  ///< nothing shows outside of it
};
struct End {};

using Element = std::variant<Path, Label, Group, End>;

struct Drawing {
  double width = 0, height = 0;
  Unit unit = Unit::mm;
  std::string title;            ///< what a screen reader says first, and the document's title; needed
  std::string description;      ///< what is to be seen, in sentences; empty: none
  std::string language = "en";  ///< of all texts, BCP 47
  std::optional<Colour> background = kWhite;
  std::vector<Element> elements;

  void add(Path path) { elements.emplace_back(std::move(path)); }
  void add(Label label) { elements.emplace_back(std::move(label)); }
  void open(Group group) { elements.emplace_back(std::move(group)); }
  void end() { elements.emplace_back(End{}); }
};

/// The largest side: 5 m, or as many pixels.
inline constexpr double kLargestSide = 5000;
/// The most points, and the most elements, of a drawing.
inline constexpr std::size_t kMostPoints = 1'000'000;

/// What no output may meet: a size beyond (0, kLargestSide], a number that is not finite, a negative width or dash,
/// opacity beyond [0, 1], a path that does not begin with move_to, a name with other signs than it may have, groups
/// that are not closed, a missing title, too many points. All outputs ask this first.
std::optional<Problem> check(const Drawing& drawing);

/// How long a line of text is, in the unit of `size`, set in DejaVu Sans. Letters beyond Latin-1 and the usual signs
/// count as an em.
double text_width(std::string_view text, double size, Weight weight = Weight::normal);
/// The height of capitals and figures.
inline constexpr double kCapHeight = 0.729;

/// Cuts text at blanks into lines no longer than `width`; a single word longer than that stands alone.
std::vector<std::string> wrap(std::string_view text, double size, double width, Weight weight = Weight::normal);

}  // namespace agonic::paper
