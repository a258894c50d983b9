// PNG and PDF: read back by other readers (libpng through cairo, poppler), and held against what was drawn.
#include "model/paper_raster/raster.hpp"

#include <cairo.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cstring>
#include <limits>

#include "tests/model/paper/paper_fixture.hpp"

namespace agonic::paper {
namespace {

struct Pixels {
  int width = 0, height = 0;
  std::vector<std::uint32_t> argb;
  [[nodiscard]] std::uint32_t at(int x, int y) const {
    return argb[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)] &
           0xFFFFFFU;
  }
};

Pixels read_png(const std::string& png) {
  std::string_view rest = png;
  const auto read = [](void* from, unsigned char* to, unsigned int size) {
    auto* bytes = static_cast<std::string_view*>(from);
    if (bytes->size() < size) return CAIRO_STATUS_READ_ERROR;
    std::memcpy(to, bytes->data(), size);
    bytes->remove_prefix(size);
    return CAIRO_STATUS_SUCCESS;
  };
  cairo_surface_t* surface = cairo_image_surface_create_from_png_stream(read, &rest);
  EXPECT_EQ(cairo_surface_status(surface), CAIRO_STATUS_SUCCESS);
  Pixels pixels{cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface), {}};
  const int stride = cairo_image_surface_get_stride(surface);
  for (int y = 0; y < pixels.height; ++y) {
    for (int x = 0; x < pixels.width; ++x) {
      std::uint32_t pixel = 0;
      std::memcpy(&pixel, cairo_image_surface_get_data(surface) + y * stride + x * 4, 4);
      pixels.argb.push_back(pixel);
    }
  }
  cairo_surface_destroy(surface);
  return pixels;
}

std::string png(const Drawing& drawing, double scale) {
  auto bytes = to_png(drawing, scale);
  EXPECT_TRUE(bytes) << (bytes ? "" : bytes.problem().text());
  return bytes ? *bytes : std::string();
}

TEST(Png, HasTheSizeAskedForAndIsTheSameEachTime) {
  const std::string bytes = png(one_of_everything(), 4);
  EXPECT_TRUE(bytes.starts_with("\x89PNG\r\n\x1A\n"));
  const Pixels pixels = read_png(bytes);
  EXPECT_EQ(pixels.width, 400);
  EXPECT_EQ(pixels.height, 240);
  EXPECT_EQ(bytes, png(one_of_everything(), 4));
}

TEST(Png, ShowsColoursWhereTheyWereDrawn) {
  Drawing drawing = one_of_everything();
  drawing.elements.clear();
  drawing.open({"", "", Box{0, 0, 50, 60}});
  Path area;
  area.rectangle({20, 20, 60, 20}).rectangle({30, 25, 10, 10});  // a hole by the even-odd rule
  area.fill = {Colour{0x336699}, std::nullopt};
  drawing.add(area);
  drawing.end();
  const Pixels pixels = read_png(png(drawing, 2));
  EXPECT_EQ(pixels.at(50, 50), 0x336699U);
  EXPECT_EQ(pixels.at(70, 60), 0xFFFFFFU);   // in the hole
  EXPECT_EQ(pixels.at(120, 60), 0xFFFFFFU);  // clipped away
  EXPECT_EQ(pixels.at(10, 10), 0xFFFFFFU);
}

TEST(Png, HatchesHalfOfTheShapeAndNothingBeside) {
  Drawing drawing = one_of_everything();
  drawing.elements.clear();
  Path area;
  area.rectangle({20, 10, 40, 40});
  area.fill = {std::nullopt, Hatch{kBlack, 4, 2, 45}};
  drawing.add(area);
  const Pixels pixels = read_png(png(drawing, 10));
  double ink = 0;
  for (int y = 100; y < 500; ++y)
    for (int x = 200; x < 600; ++x) ink += 255 - static_cast<double>(pixels.at(x, y) & 0xFFU);
  EXPECT_NEAR(ink / 255 / (400 * 400), 0.5, 0.01);
  for (int y = 0; y < 600; ++y) EXPECT_EQ(pixels.at(190, y), 0xFFFFFFU);
}

// Metrics of the font: text_width() against what the rasteriser has drawn, DejaVu Sans being there.
TEST(Png, SetsTextAsLongAsTextWidthSays) {
  for (const Weight weight : {Weight::normal, Weight::bold}) {
    Drawing drawing = one_of_everything();
    drawing.elements.clear();
    Label label;
    label.text = "HHiiWW 0123456789 ±−°′H";
    label.size = 6;
    label.at = {2, 30};
    label.weight = weight;
    drawing.add(label);
    const Pixels pixels = read_png(png(drawing, 10));
    int last = 0;
    for (int x = 0; x < pixels.width; ++x)
      for (int y = 0; y < pixels.height; ++y)
        if (pixels.at(x, y) < 0x808080U) last = x;
    // An H ends 0.098 (Book) or 0.092 (Bold) em before its advance does.
    EXPECT_NEAR(last / 10.0, 2 + text_width(label.text, label.size, weight) - 0.095 * label.size, 0.2);
  }
}

TEST(Png, RefusesWhatIsTooLargeOrImpossible) {
  const auto large = to_png(one_of_everything(), 100);
  ASSERT_FALSE(large);
  EXPECT_EQ(large.problem().code, Code::too_large);
  EXPECT_FALSE(to_png(one_of_everything(), 0));
  EXPECT_FALSE(to_png(one_of_everything(), -1));
  EXPECT_FALSE(to_png(one_of_everything(), std::numeric_limits<double>::quiet_NaN()));
  Drawing drawing = one_of_everything();
  drawing.title.clear();
  EXPECT_FALSE(to_png(drawing, 1));
  EXPECT_FALSE(to_pdf(drawing));
}

TEST(Pdf, HoldsItsTextAsTextAndIsTheSameEachTime) {
  Drawing drawing = one_of_everything();
  drawing.elements.clear();
  Label label;
  label.at = {10, 50};
  label.size = 5;
  label.text = "Set the circle to 346.3\xC2\xB0";
  drawing.add(label);
  const auto page = to_pdf(drawing);
  ASSERT_TRUE(page);
  EXPECT_TRUE(page->starts_with("%PDF-1."));
  std::string said;
  EXPECT_EQ(with_file(*page, "pdftotext % -", &said), 0);
  EXPECT_NE(said.find("Set the circle to 346.3\xC2\xB0"), std::string::npos) << said;
  // Not merely within one second: nothing in it tells when it was made.
  EXPECT_EQ(page->find("CreationDate"), std::string::npos);
  EXPECT_EQ(*page, *to_pdf(drawing));
}

TEST(Pdf, IsAsLargeAsTheDrawing) {
  Drawing drawing = one_of_everything();
  drawing.width = 148;  // A5 lying: ISO 216
  drawing.height = 105;
  const auto page = to_pdf(drawing);
  ASSERT_TRUE(page);
  // 148 mm and 105 mm in points of 1/72 inch.
  EXPECT_NE(page->find("/MediaBox [ 0 0 419.527559 297.637795 ]"), std::string::npos);
}

}  // namespace
}  // namespace agonic::paper
