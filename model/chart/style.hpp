// Inside of the charts only: how they look. East and west are told by colour and by dash, so that a copy in black shows
// them too.
#pragma once

#include "model/paper/drawing.hpp"

namespace agonic::chart {

inline constexpr paper::Colour kPaper{0xFDFCF9}, kSea{0xF1F5F4}, kLand{0xE3DDCE}, kCoast{0x8B958F}, kNet{0xD3DAD7},
    kInk{0x14201E}, kFaint{0x55625E}, kEast{0xA1440C}, kWest{0x553780}, kPlain{0x0C5A61};

inline constexpr double kTitleSize = 25, kTextSize = 13, kLabelSize = 11.5, kTickSize = 11.5;
inline constexpr double kThin = 1.05, kRound = 1.5, kZero = 2.6;

inline const paper::Hatch kUnusableHatch{paper::Colour{0x14201E, 0.75}, 5, 1, 45};
inline const paper::Hatch kCautionHatch{paper::Colour{0x14201E, 0.4}, 10, 0.8, 45};
/// How close lines may come before some give way.
inline constexpr double kLeastGap = 5;

}  // namespace agonic::chart
