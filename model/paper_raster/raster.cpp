// The only file that knows cairo (1.16; its reference manual, and ISO 32000-1 for the page).
#include "model/paper_raster/raster.hpp"

#include <cairo-pdf.h>
#include <cairo.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>

#include "model/paper/utf8.hpp"
#include "model/units/number.hpp"

namespace agonic::paper {
namespace {

constexpr double kPointsPerInch = 72;
constexpr double kFont = 100;  // hinting is off, so that widths are those of the font at any size

struct FreeSurface {
  void operator()(cairo_surface_t* surface) const noexcept { cairo_surface_destroy(surface); }
};
struct FreeContext {
  void operator()(cairo_t* context) const noexcept { cairo_destroy(context); }
};
using Surface = std::unique_ptr<cairo_surface_t, FreeSurface>;
using Context = std::unique_ptr<cairo_t, FreeContext>;

double radians(double deg) { return deg * std::numbers::pi / 180; }

void source(cairo_t* to, const Colour& colour) {
  const auto part = [&](unsigned shift) { return static_cast<double>((colour.rgb >> shift) & 0xFFU) / 255; };
  cairo_set_source_rgba(to, part(16), part(8), part(0), colour.opacity);
}
void pen(cairo_t* to, const Stroke& stroke) {
  source(to, stroke.colour);
  cairo_set_line_width(to, stroke.width);
  cairo_set_line_join(to, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap(to, stroke.dash.empty() ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
  cairo_set_dash(to, stroke.dash.data(), static_cast<int>(stroke.dash.size()), 0);
}

void trace(cairo_t* to, const Path& path) {
  cairo_new_path(to);
  std::size_t at = 0;
  for (const Verb verb : path.verbs) {
    switch (verb) {
      case Verb::move:
        cairo_move_to(to, path.points[at].x, path.points[at].y);
        at += 1;
        break;
      case Verb::line:
        cairo_line_to(to, path.points[at].x, path.points[at].y);
        at += 1;
        break;
      case Verb::curve:
        cairo_curve_to(to, path.points[at].x, path.points[at].y, path.points[at + 1].x, path.points[at + 1].y,
                       path.points[at + 2].x, path.points[at + 2].y);
        at += 3;
        break;
      case Verb::close:
        cairo_close_path(to);
        break;
    }
  }
}

// The lines of a hatch are those of one net over the whole paper, cut to the shape.
void hatch(cairo_t* to, const Hatch& with) {
  cairo_save(to);
  cairo_clip(to);
  double left = 0, top = 0, right = 0, bottom = 0;
  cairo_clip_extents(to, &left, &top, &right, &bottom);
  const double turn = radians(with.angle_deg);
  double low = INFINITY, high = -INFINITY, first = INFINITY, last = -INFINITY;
  for (const double x : {left, right}) {
    for (const double y : {top, bottom}) {
      const double along = x * std::cos(turn) + y * std::sin(turn);
      const double across = -x * std::sin(turn) + y * std::cos(turn);
      low = std::min(low, along);
      high = std::max(high, along);
      first = std::min(first, across);
      last = std::max(last, across);
    }
  }
  cairo_rotate(to, turn);
  pen(to, {with.colour, with.width, {}});
  cairo_set_line_cap(to, CAIRO_LINE_CAP_BUTT);
  cairo_new_path(to);
  constexpr double kMostLines = 20000;
  if ((last - first) / with.spacing < kMostLines) {
    for (double i = std::floor(first / with.spacing); (i + 0.5) * with.spacing <= last + with.spacing; ++i) {
      cairo_move_to(to, low, (i + 0.5) * with.spacing);
      cairo_line_to(to, high, (i + 0.5) * with.spacing);
    }
  }
  cairo_stroke(to);
  cairo_restore(to);
}

void draw(cairo_t* to, const Path& path) {
  if (path.verbs.empty()) return;
  cairo_set_fill_rule(to, CAIRO_FILL_RULE_EVEN_ODD);
  if (path.fill.colour) {
    trace(to, path);
    source(to, *path.fill.colour);
    cairo_fill(to);
  }
  if (path.fill.hatch) {
    trace(to, path);
    hatch(to, *path.fill.hatch);
  }
  if (path.stroke && path.stroke->width > 0) {
    trace(to, path);
    pen(to, *path.stroke);
    cairo_stroke(to);
  }
  cairo_new_path(to);
}

void draw(cairo_t* to, const Label& label) {
  const std::string text = clean(label.text);
  cairo_save(to);
  cairo_translate(to, label.at.x, label.at.y);
  cairo_rotate(to, radians(label.rotation_deg));
  cairo_select_font_face(to, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                         label.weight == Weight::bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  // Set large and scaled down: cairo rounds no advance of a letter then.
  cairo_scale(to, label.size / kFont, label.size / kFont);
  cairo_set_font_size(to, kFont);
  cairo_text_extents_t extents{};
  cairo_text_extents(to, text.c_str(), &extents);
  const double x = label.anchor == Anchor::start    ? 0
                   : label.anchor == Anchor::middle ? -extents.x_advance / 2
                                                    : -extents.x_advance;
  const double y = label.level == Level::middle ? kFont * kCapHeight / 2 : 0;
  if (label.halo && label.halo->width > 0) {
    cairo_move_to(to, x, y);
    cairo_text_path(to, text.c_str());
    pen(to, *label.halo);
    cairo_set_line_width(to, label.halo->width * kFont / label.size);
    cairo_stroke(to);
  }
  cairo_move_to(to, x, y);
  source(to, label.colour);
  cairo_show_text(to, text.c_str());
  cairo_restore(to);
}
void draw(cairo_t* to, const Group& group) {
  cairo_save(to);
  if (!group.clip) return;
  cairo_new_path(to);
  cairo_rectangle(to, group.clip->x, group.clip->y, group.clip->width, group.clip->height);
  cairo_clip(to);
}
void draw(cairo_t* to, const End&) { cairo_restore(to); }

void draw(cairo_t* to, const Drawing& drawing) {
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_set_font_options(to, options);
  cairo_font_options_destroy(options);
  if (drawing.background) {
    source(to, *drawing.background);
    cairo_paint(to);
  }
  for (const Element& element : drawing.elements) std::visit([to](const auto& one) { draw(to, one); }, element);
}

cairo_status_t append(void* to, const unsigned char* bytes, unsigned int size) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(bytes),
                                        size);  // NOLINT: cairo's own type of bytes
  return CAIRO_STATUS_SUCCESS;
}

Problem failed(cairo_status_t status) {
  return {Code::internal, "drawing", "",
          std::string("the picture could not be drawn: ") + cairo_status_to_string(status),
          "Ask for a smaller picture, or for SVG."};
}

}  // namespace

Result<std::string> to_png(const Drawing& drawing, double scale) {
  if (auto problem = check(drawing)) return *std::move(problem);
  if (!(scale > 0) || !std::isfinite(scale)) {
    return Problem{Code::out_of_range, "scale", format_trimmed(scale), "a scale is a number above 0",
                   "Ask for another scale."};
  }
  const double width = std::max(1.0, std::round(drawing.width * scale));
  const double height = std::max(1.0, std::round(drawing.height * scale));
  constexpr double kLongest = 32767;  // of cairo
  if (width * height > kMostPixels || width > kLongest || height > kLongest) {
    return Problem{Code::too_large, "drawing", format_fixed(width, 0) + " x " + format_fixed(height, 0),
                   "a picture has at most " + format_fixed(kMostPixels, 0) + " pixels",
                   "Ask for a smaller picture, or for SVG."};
  }
  const Surface surface(
      cairo_image_surface_create(CAIRO_FORMAT_ARGB32, static_cast<int>(width), static_cast<int>(height)));
  const Context context(cairo_create(surface.get()));
  cairo_scale(context.get(), width / drawing.width, height / drawing.height);
  draw(context.get(), drawing);
  if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return failed(cairo_status(context.get()));
  std::string out;
  const cairo_status_t written = cairo_surface_write_to_png_stream(surface.get(), append, &out);
  if (written != CAIRO_STATUS_SUCCESS) return failed(written);
  return out;
}

Result<std::string> to_pdf(const Drawing& drawing) {
  if (auto problem = check(drawing)) return *std::move(problem);
  const double scale = kPointsPerInch / (drawing.unit == Unit::mm ? kMmPerInch : kPxPerInch);
  std::string out;
  {
    const Surface surface(
        cairo_pdf_surface_create_for_stream(append, &out, drawing.width * scale, drawing.height * scale));
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, clean(drawing.title).c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE,
                                   nullptr);  // cairo would ask the clock
    if (!drawing.description.empty())
      cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_SUBJECT, clean(drawing.description).c_str());
    const Context context(cairo_create(surface.get()));
    cairo_scale(context.get(), scale, scale);
    draw(context.get(), drawing);
    cairo_show_page(context.get());
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return failed(cairo_status(context.get()));
    cairo_surface_finish(surface.get());
    if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) return failed(cairo_surface_status(surface.get()));
  }
  return out;
}

}  // namespace agonic::paper
