// A drawing as SVG text.
#pragma once

#include <string>

#include "model/paper/drawing.hpp"

namespace agonic::paper {

struct SvgOptions {
  /// Stands before every id, so that two drawings can stand in one page: a letter, then letters, digits and '-'.
  std::string id_prefix = "d";
  /// With an XML declaration, as a file of its own; without, to stand inside a page.
  bool stand_alone = true;
};

/// SVG 1.1 with paint-order of SVG 2 for halos, which older viewers draw over the letters' edge. Coordinates are
/// rounded to 0.01 of the unit. No script, no reference to anything outside, no clock: the same drawing gives the same
/// bytes. Role `img`, with title and description. Refuses what check() refuses and an id prefix that is none.
Result<std::string> to_svg(const Drawing& drawing, const SvgOptions& options = {});

/// Text between tags and in attributes of XML 1.0, letters that it has no character for replaced by U+FFFD.
std::string escape_xml(std::string_view text);

}  // namespace agonic::paper
