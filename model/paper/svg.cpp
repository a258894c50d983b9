// SVG 1.1 second edition, W3C 2011; accessibility: SVG Accessibility API Mappings, W3C (title and desc by role img).
#include "model/paper/svg.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "model/paper/utf8.hpp"
#include "model/units/number.hpp"

namespace agonic::paper {
namespace {

constexpr double kSteps = 100;  // coordinates are whole numbers of 1/100

bool same(const Colour& a, const Colour& b) { return a.rgb == b.rgb && a.opacity == b.opacity; }
bool same(const Hatch& a, const Hatch& b) {
  return same(a.colour, b.colour) && a.spacing == b.spacing && a.width == b.width && a.angle_deg == b.angle_deg;
}

class Writer {
 public:
  Writer(const Drawing& drawing, const SvgOptions& options) : drawing_(drawing), prefix_(options.id_prefix) {
    if (options.stand_alone) out_ += "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    head();
    hatches();
    if (drawing.background) {
      out_ += "<rect class=\"paper\" width=\"" + number(drawing.width) + "\" height=\"" + number(drawing.height) + '"';
      paint("fill", *drawing.background);
      out_ += "/>\n";
    }
    for (const Element& element : drawing.elements) std::visit([this](const auto& one) { write(one); }, element);
    out_ += "</svg>\n";
  }
  std::string take() { return std::move(out_); }

 private:
  static std::string number(double value) { return format_trimmed(value, 2); }
  static std::string colour(std::uint32_t rgb) {
    constexpr std::string_view kHex = "0123456789abcdef";
    std::string text = "#";
    for (int shift = 20; shift >= 0; shift -= 4) text += kHex[(rgb >> static_cast<unsigned>(shift)) & 15U];
    return text;
  }
  void paint(std::string_view what, const Colour& with) {
    out_ += ' ';
    out_ += what;
    out_ += "=\"" + colour(with.rgb) + '"';
    if (with.opacity < 1) {
      out_ += ' ';
      out_ += what;
      out_ += "-opacity=\"" + format_trimmed(with.opacity, 3) + '"';
    }
  }
  void stroke(const Stroke& pen) {
    paint("stroke", pen.colour);
    out_ += " stroke-width=\"" + format_trimmed(pen.width, 3) + '"';
    out_ += " stroke-linejoin=\"round\"";
    if (pen.dash.empty()) {
      out_ += " stroke-linecap=\"round\"";
      return;
    }
    out_ += " stroke-dasharray=\"";
    for (std::size_t i = 0; i < pen.dash.size(); ++i) out_ += (i > 0 ? " " : "") + format_trimmed(pen.dash[i], 3);
    out_ += '"';
  }
  void name(std::string_view text) {
    if (!text.empty()) out_ += " class=\"" + std::string(text) + '"';
  }
  void title(std::string_view text) {
    if (!text.empty()) out_ += "<title>" + escape_xml(text) + "</title>";
  }

  void head() {
    const std::string unit = drawing_.unit == Unit::mm ? "mm" : "";
    out_ += "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + number(drawing_.width) + unit + "\" height=\"" +
            number(drawing_.height) + unit + "\" viewBox=\"0 0 " + number(drawing_.width) + ' ' +
            number(drawing_.height) + "\" xml:lang=\"" + escape_xml(drawing_.language) +
            "\" role=\"img\" aria-labelledby=\"" + prefix_ + "-title";
    if (!drawing_.description.empty()) out_ += ' ' + prefix_ + "-desc";
    out_ += "\" font-family=\"'DejaVu Sans', sans-serif\">\n<title id=\"" + prefix_ + "-title\">" +
            escape_xml(drawing_.title) + "</title>\n";
    if (!drawing_.description.empty())
      out_ += "<desc id=\"" + prefix_ + "-desc\">" + escape_xml(drawing_.description) + "</desc>\n";
  }

  void hatches() {
    std::size_t clips = 0;
    std::string defs;
    std::swap(defs, out_);
    for (const Element& element : drawing_.elements) {
      if (const auto* path = std::get_if<Path>(&element); path != nullptr && path->fill.hatch) {
        if (hatch_index(*path->fill.hatch) == hatches_.size()) define(*path->fill.hatch);
      } else if (const auto* group = std::get_if<Group>(&element); group != nullptr && group->clip) {
        out_ += "<clipPath id=\"" + prefix_ + "-clip" + std::to_string(clips++) + "\"><rect x=\"" +
                number(group->clip->x) + "\" y=\"" + number(group->clip->y) + "\" width=\"" +
                number(group->clip->width) + "\" height=\"" + number(group->clip->height) + "\"/></clipPath>\n";
      }
    }
    std::swap(defs, out_);
    if (!defs.empty()) out_ += "<defs>\n" + defs + "</defs>\n";
  }
  [[nodiscard]] std::size_t hatch_index(const Hatch& hatch) const {
    const auto found =
        std::find_if(hatches_.begin(), hatches_.end(), [&](const Hatch& one) { return same(one, hatch); });
    return static_cast<std::size_t>(found - hatches_.begin());
  }
  // The line lies in the middle of its tile, so that no half of it is cut off at the seam.
  void define(const Hatch& hatch) {
    const std::string side = format_trimmed(hatch.spacing, 3);
    const std::string middle = format_trimmed(hatch.spacing / 2, 4);
    out_ += "<pattern id=\"" + prefix_ + "-hatch" + std::to_string(hatches_.size()) +
            "\" patternUnits=\"userSpaceOnUse\" width=\"" + side + "\" height=\"" + side +
            "\" patternTransform=\"rotate(" + format_trimmed(hatch.angle_deg, 3) + ")\"><path d=\"M0 " + middle + 'H' +
            side + "\" fill=\"none\"";
    paint("stroke", hatch.colour);
    out_ += " stroke-width=\"" + format_trimmed(hatch.width, 3) + "\"/></pattern>\n";
    hatches_.push_back(hatch);
  }

  void write(const Path& path) {
    if (path.verbs.empty()) return;
    // A tint below a hatch is a path of its own, for fill takes one of them.
    if (path.fill.hatch && path.fill.colour) {
      open_path(path);
      paint("fill", *path.fill.colour);
      out_ += "/>\n";
    }
    open_path(path);
    if (path.fill.hatch)
      out_ += " fill=\"url(#" + prefix_ + "-hatch" + std::to_string(hatch_index(*path.fill.hatch)) + ")\"";
    else if (path.fill.colour)
      paint("fill", *path.fill.colour);
    else
      out_ += " fill=\"none\"";
    if (path.stroke) stroke(*path.stroke);
    if (path.title.empty()) {
      out_ += "/>\n";
    } else {
      out_ += '>';
      title(path.title);
      out_ += "</path>\n";
    }
  }
  void open_path(const Path& path) {
    out_ += "<path";
    name(path.name);
    if (path.fill.colour || path.fill.hatch) out_ += " fill-rule=\"evenodd\"";
    out_ += " d=\"";
    data(path);
    out_ += '"';
  }

  // Relative steps between rounded places are short, and do not drift.
  void data(const Path& path) {
    std::int64_t x = 0, y = 0, start_x = 0, start_y = 0;
    std::size_t point = 0;
    char last = 0;
    const auto step = [&](char letter, std::size_t count) {
      if (letter != last) out_ += letter;
      bool first = letter != last;
      last = letter == 'm' ? 'l' : letter;
      std::int64_t to_x = x, to_y = y;
      for (std::size_t i = 0; i < count; ++i, ++point) {
        to_x = std::llround(path.points[point].x * kSteps);
        to_y = std::llround(path.points[point].y * kSteps);
        hundredths(to_x - x, first);
        hundredths(to_y - y, false);
        first = false;
      }
      x = to_x;
      y = to_y;
    };
    for (const Verb verb : path.verbs) {
      switch (verb) {
        case Verb::move:
          last = 0;
          step('m', 1);
          start_x = x;
          start_y = y;
          break;
        case Verb::line:
          step('l', 1);
          break;
        case Verb::curve:
          step('c', 3);
          break;
        case Verb::close:
          out_ += last = 'z';
          x = start_x;
          y = start_y;
          break;
      }
    }
  }
  // Hundredths as the shortest decimal; a minus parts numbers as well as a blank does.
  void hundredths(std::int64_t value, bool first) {
    if (value < 0)
      out_ += '-';
    else if (!first)
      out_ += ' ';
    const std::int64_t size = value < 0 ? -value : value;
    const std::int64_t part = size % 100;
    if (size >= 100 || part == 0) out_ += std::to_string(size / 100);
    if (part == 0) return;
    out_ += '.';
    out_ += static_cast<char>('0' + part / 10);
    if (part % 10 != 0) out_ += static_cast<char>('0' + part % 10);
  }

  void write(const Label& label) {
    constexpr std::array<std::string_view, 3> kAnchors{"start", "middle", "end"};
    double x = label.at.x;
    double y = label.at.y;
    if (label.level == Level::middle) {
      const double down = label.size * kCapHeight / 2;
      const double turn = label.rotation_deg * 3.14159265358979323846 / 180;
      x -= down * std::sin(turn);
      y += down * std::cos(turn);
    }
    out_ += "<text";
    name(label.name);
    out_ += " x=\"" + number(x) + "\" y=\"" + number(y) + "\" font-size=\"" + format_trimmed(label.size, 3) + '"';
    if (label.anchor != Anchor::start) {
      out_ += " text-anchor=\"";
      out_ += kAnchors[static_cast<std::size_t>(label.anchor)];
      out_ += '"';
    }
    if (label.weight == Weight::bold) out_ += " font-weight=\"bold\"";
    if (label.rotation_deg != 0)
      out_ +=
          " transform=\"rotate(" + format_trimmed(label.rotation_deg, 2) + ' ' + number(x) + ' ' + number(y) + ")\"";
    paint("fill", label.colour);
    if (label.halo) {
      stroke(*label.halo);
      out_ += " paint-order=\"stroke\"";
    }
    out_ += " xml:space=\"preserve\">" + escape_xml(label.text) + "</text>\n";
  }
  void write(const Group& group) {
    out_ += "<g";
    name(group.name);
    if (group.clip) out_ += " clip-path=\"url(#" + prefix_ + "-clip" + std::to_string(clips_++) + ")\"";
    out_ += '>';
    title(group.title);
    out_ += '\n';
  }
  void write(const End&) { out_ += "</g>\n"; }

  const Drawing& drawing_;
  const std::string& prefix_;
  std::string out_;
  std::vector<Hatch> hatches_;
  std::size_t clips_ = 0;
};

bool good_prefix(std::string_view prefix) {
  const auto letter = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); };
  return !prefix.empty() && letter(prefix.front()) && std::all_of(prefix.begin(), prefix.end(), [&](char c) {
    return letter(c) || (c >= '0' && c <= '9') || c == '-';
  });
}

}  // namespace

std::string escape_xml(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (const char c : clean(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

Result<std::string> to_svg(const Drawing& drawing, const SvgOptions& options) {
  if (auto problem = check(drawing)) return *std::move(problem);
  if (!good_prefix(options.id_prefix)) {
    return Problem{Code::out_of_range, "id_prefix", options.id_prefix,
                   "a prefix is a letter, then letters, digits and '-'", "Choose another prefix."};
  }
  return Writer(drawing, options).take();
}

}  // namespace agonic::paper
