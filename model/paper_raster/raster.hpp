// A drawing as pixels or as a page: the same picture as to_svg() gives, by the cairo library.
//
// Text is set in DejaVu Sans, found through fontconfig; without that font cairo takes another sans-serif and lines of
// text may be longer or shorter. Thread-safe. The same drawing gives the same bytes with the same library and fonts.
#pragma once

#include <string>

#include "model/paper/drawing.hpp"

namespace agonic::paper {

/// The most pixels of a picture: 40 million take 160 MB while they are drawn.
inline constexpr double kMostPixels = 40e6;

/// PNG (ISO/IEC 15948) of `scale` pixels a unit, at least one pixel each way; the background's opacity is kept.
/// Refuses what check() refuses, a scale that is not above 0, and more than kMostPixels with Code::too_large.
Result<std::string> to_png(const Drawing& drawing, double scale);

/// PDF 1.5 of one page of the drawing's size, with its title and the text as text. Refuses what check() refuses.
Result<std::string> to_pdf(const Drawing& drawing);

}  // namespace agonic::paper
