#include "model/card/card.hpp"
#include "model/paper/svg.hpp"

namespace agonic::card {

// Labels that follow each other at one height belong to one line.
std::string plain_text(const paper::Drawing& drawing) {
  std::string out;
  double y = -1;
  for (const auto& element : drawing.elements) {
    const auto* label = std::get_if<paper::Label>(&element);
    if (label == nullptr) continue;
    if (!out.empty()) out += label->at.y == y ? "\t" : "\n";
    y = label->at.y;
    out += label->text;
  }
  return out + "\n";
}

Result<std::string> html(const Sheet& sheet) {
  const paper::Drawing drawing = draw(sheet);
  paper::SvgOptions options;
  options.id_prefix = "card";
  options.stand_alone = false;
  auto svg = paper::to_svg(drawing, options);
  if (!svg) return svg.problem();
  std::string out =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
      paper::escape_xml(drawing.title) +
      "</title>\n<style>\n"
      "@page { size: A4 portrait; margin: 0 }\n"
      "html, body { margin: 0; background: #fff; color: #000 }\n"
      "body > svg { display: block; width: 210mm; height: 297mm; max-width: 100% }\n"
      "pre { font: 1rem/1.5 'DejaVu Sans', sans-serif; margin: 1rem; white-space: pre-wrap; tab-size: 8 }\n"
      "h2 { font: bold 1.1rem 'DejaVu Sans', sans-serif; margin: 1rem }\n"
      "@media screen and (max-width: 210mm) { body > svg { height: auto } }\n"
      "@media print { section { display: none } body > svg { height: 296.9mm } }\n"
      "</style>\n</head>\n<body>\n";
  out += *svg;
  out += "\n<section aria-label=\"The card as text\">\n<h2>The card as text</h2>\n<pre>";
  // Letter by letter escaped, line by line kept.
  const std::string text = plain_text(drawing);
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    std::string line = text.substr(at, end - at);
    std::string cells;
    for (std::size_t from = 0;;) {
      const std::size_t tab = line.find('\t', from);
      cells += paper::escape_xml(line.substr(from, tab - from));
      if (tab == std::string::npos) break;
      cells += '\t';
      from = tab + 1;
    }
    out += cells + "\n";
    at = end == std::string::npos ? text.size() : end + 1;
  }
  return out + "</pre>\n</section>\n</body>\n</html>\n";
}

}  // namespace agonic::card
