#include <algorithm>
#include <cmath>

#include "model/card/parts.hpp"
#include "model/units/angle.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::card {

using paper::Anchor;
using paper::Label;
using paper::Path;
using paper::Point;
using paper::Stroke;
using paper::Weight;

std::string side_words(double degrees, int decimals) {
  std::string text = declination_side_text(degrees, decimals);
  const auto blank = text.find(' ');
  return blank == std::string::npos ? text + "\u00B0" : text.insert(blank, "\u00B0");
}

std::string both_ways(double degrees, int decimals) {
  std::string text = declination_text(degrees, decimals);
  return text.insert(text.find(' '), "\u00B0");
}

std::string azimuth_words(double degrees, int decimals) {
  std::string text = format_azimuth(wrap_360(degrees), decimals);
  const auto whole = std::min(text.find('.'), text.size());
  return std::string(whole < 3 ? 3 - whole : 0, '0') + text;
}

void Column::put(double x, const std::string& text, double size, Weight weight, Anchor anchor) {
  Label label;
  label.at = {x, y_ + kLine * size / kBody * 0.78};
  label.text = text;
  label.size = size;
  label.weight = weight;
  label.anchor = anchor;
  out_.add(std::move(label));
}

bool Column::fits(const std::string& words, double more) const {
  const auto lines = paper::wrap(words, kBody, width_ * 0.98).size();
  return y_ + static_cast<double>(lines) * kLine + more <= bottom_;
}

std::size_t Column::lines_left() const {
  return y_ >= bottom_ ? 0 : static_cast<std::size_t>(std::floor((bottom_ - y_) / kLine));
}

std::string Column::one_line(std::string words, double size, Weight weight) const {
  if (paper::text_width(words, size, weight) <= width_ * 0.98) return words;
  while (!words.empty() && paper::text_width(words + "\u2026", size, weight) > width_ * 0.98) {
    // A letter may be several bytes: those that go on one go with it.
    while (words.size() > 1 && (static_cast<unsigned char>(words.back()) & 0xC0U) == 0x80U) words.pop_back();
    words.pop_back();
  }
  return words + "\u2026";
}

void Column::heading(const std::string& words) {
  text(words, 4.2, Weight::bold);
  rule(0.3);
  y_ += 1.2;
}

void Column::text(const std::string& words, double size, Weight weight) {
  // The reader's own sans-serif may be wider than the one that is measured: keep some room.
  for (const std::string& line : paper::wrap(words, size, width_ * 0.98, weight)) {
    put(x_, one_line(line, size, weight), size, weight, Anchor::start);  // a single word may be longer than the line
    y_ += kLine * size / kBody;
  }
}

void Column::blank(const std::string& words) {
  put(x_, words, kBody, Weight::normal, Anchor::start);
  const double from = x_ + paper::text_width(words, kBody) + 2;
  Path line;
  line.stroke = Stroke{paper::kBlack, 0.2, {}};
  line.polyline(std::vector<Point>{{from, y_ + kLine}, {x_ + width_, y_ + kLine}});
  out_.add(std::move(line));
  y_ += kLine + 2.2;  // room for a hand
}

void Column::row(const std::vector<std::string>& cells, Weight weight) {
  const double each = width_ / static_cast<double>(cells.size());
  for (std::size_t i = 0; i < cells.size(); ++i)
    put(x_ + (static_cast<double>(i) + 0.5) * each, cells[i], kBody, weight, Anchor::middle);
  y_ += kLine;
}

void Column::rule(double thickness) {
  Path line;
  line.stroke = Stroke{paper::kBlack, thickness, {}};
  line.polyline(std::vector<Point>{{x_, y_}, {x_ + width_, y_}});
  out_.add(std::move(line));
}

}  // namespace agonic::card
