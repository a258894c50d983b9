#include "model/card/print.hpp"

#include <array>

#include "model/paper_raster/raster.hpp"

namespace agonic::card {
namespace {

constexpr double kPixelsPerMm = 10;
constexpr std::array<std::string_view, 3> kWords{"html", "pdf", "png"};

}  // namespace

std::string_view media_type(Format format) noexcept {
  switch (format) {
    case Format::html:
      return "text/html";
    case Format::pdf:
      return "application/pdf";
    case Format::png:
      break;
  }
  return "image/png";
}

std::optional<Format> format_of_name(std::string_view name) noexcept {
  for (std::size_t i = 0; i < kWords.size(); ++i)
    if (const auto format = static_cast<Format>(i); name == kWords[i] || name == media_type(format)) return format;
  return std::nullopt;
}

Result<std::string> print(const Sheet& sheet, Format format) {
  switch (format) {
    case Format::html:
      return html(sheet);
    case Format::pdf:
      return paper::to_pdf(draw(sheet));
    case Format::png:
      break;
  }
  return paper::to_png(draw(sheet), kPixelsPerMm);
}

}  // namespace agonic::card
