// The card as a file: HTML, or PDF and PNG through paper_raster.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "model/card/card.hpp"

namespace agonic::card {

enum class Format { html, pdf, png };
std::string_view media_type(Format format) noexcept;  ///< text/html, application/pdf, image/png
/// html, pdf, png and the media types.
std::optional<Format> format_of_name(std::string_view name) noexcept;

/// PNG has 10 pixels a millimetre (254 an inch).
Result<std::string> print(const Sheet& sheet, Format format);

}  // namespace agonic::card
