#include "model/field/read_publisher.hpp"

#include <algorithm>
#include <array>

#include "model/field/lines.hpp"
#include "model/field/read_own.hpp"
#include "model/field/sha256.hpp"
#include "model/units/number.hpp"

namespace agonic::field {
namespace {

constexpr double kWmmYears = 5;
constexpr std::string_view kUnknown = "not stated in the file";

std::string id_from(std::string_view name) {
  std::string id;
  for (const char c : lower(name))
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) id += c;
  return id;
}

std::string_view file_stem(std::string_view path) {
  if (const auto slash = path.find_last_of('/'); slash != std::string_view::npos) path.remove_prefix(slash + 1);
  return path.substr(0, path.find_last_of('.'));
}

// The line that ends the rows: nothing but 9s, and more of them than any degree has digits.
bool nines(std::string_view line) {
  line = trim(line);
  return line.size() > 8 && line.find_first_not_of('9') == std::string_view::npos;
}

void finish(CoefficientSet& model, const CoefficientText& text) {
  model.doi = kUnknown;
  model.licence = kUnknown;
  model.sha256 = sha256(text.table);
  prepare(model);
}

CoefficientSet read_wmm(const CoefficientText& text) {
  Lines lines(text.table_name, text.table);
  lines.next();
  CoefficientSet model;
  model.behaviour = TimeBehaviour::linear;
  model.epoch = read_year(lines, "the epoch");
  model.times = {model.epoch};
  model.valid_from = model.epoch;
  model.valid_to = model.epoch + kWmmYears;
  const std::string_view name = lines.word();
  model.id = id_from(name);
  if (model.id.empty()) lines.fail("the model's name is expected after the epoch");
  model.title = printable(name);
  const std::string_view released = lines.word();
  if (released.empty()) lines.fail("the release date is expected after the name");
  model.source = "coefficient file of " + model.title + ", released " + printable(released);
  lines.end_of_line();

  model.sets.resize(2);
  int n = 1;
  int m = 0;
  bool ended = false;
  while (lines.next()) {
    ended = nines(lines.line());
    if (ended) break;
    const int row_n = lines.integer("the degree n, or the line of 9s,");
    const int row_m = lines.integer("the order m");
    if (row_n != n || row_m != m) {
      lines.fail("the row " + std::to_string(n) + " " + std::to_string(m) + " is expected here, not " +
                 std::to_string(row_n) + " " + std::to_string(row_m));
    }
    if (n > kMaxDegree) lines.fail("degrees above " + std::to_string(kMaxDegree) + " are not read");
    std::array<double, 4> value{};  // g h dg dh
    for (double& v : value) v = read_coefficient(lines);
    lines.end_of_line();
    if (m == 0 && (value[1] != 0 || value[3] != 0)) lines.fail("h of order 0 is not zero");
    for (std::size_t k = 0; k < 2; ++k) {
      model.sets[k].push_back(value[2 * k]);
      if (m > 0) model.sets[k].push_back(value[2 * k + 1]);
    }
    if (++m > n) {
      model.degree = n++;
      m = 0;
    }
  }
  if (!ended) lines.fail("the file ends without its line of 9s");
  if (m != 0 || model.degree == 0) {
    lines.fail("the row " + std::to_string(n) + " " + std::to_string(m) + " is missing before the line of 9s");
  }
  while (lines.next())
    if (!nines(lines.line()) && !trim(lines.line()).empty()) lines.fail("there is text after the line of 9s");
  finish(model, text);
  return model;
}

CoefficientSet read_shc(const CoefficientText& text) {
  Lines lines(text.table_name, text.table);
  do {
    if (!lines.next()) lines.fail("the file ends before its parameter line");
  } while (lines.line().starts_with('#'));
  CoefficientSet model;
  const int lowest = lines.integer("the lowest degree");
  model.degree = lines.integer("the highest degree");
  const int times = lines.integer("the number of times");
  const int order = lines.integer("the spline order");
  if (lines.integer("the number of steps") < 1) lines.fail("the number of steps is below 1");
  std::vector<double> span;
  if (Lines ahead = lines; !ahead.word().empty()) {
    span = read_years(lines, "a year of validity");
    if (span.size() != 2) lines.fail("two years of validity are expected after the steps, or none");
  }
  if (lowest != 1) lines.fail("a lowest degree other than 1 is not read: part of the field would be missing");
  if (model.degree < 1 || model.degree > kMaxDegree) {
    lines.fail("the highest degree is expected to be from 1 to " + std::to_string(kMaxDegree));
  }
  if (!(order == 2 && times >= 2) && !(order == 1 && times == 1)) {
    lines.fail("spline order " + std::to_string(order) + " with " + std::to_string(times) +
               " times is not read, only order 2 with two times and more, and order 1 with one");
  }
  if (!lines.next()) lines.fail("the file ends before its epochs");
  model.behaviour = TimeBehaviour::piecewise;
  model.times = read_years(lines, "an epoch");
  if (model.times.size() != static_cast<std::size_t>(times)) {
    lines.fail(std::to_string(times) + " epochs are expected, not " + std::to_string(model.times.size()));
  }
  model.valid_from = span.empty() ? model.times.front() : span[0];
  model.valid_to = span.empty() ? model.times.back() : span[1];
  if (order == 2 && (model.valid_from < model.times.front() || model.valid_to > model.times.back())) {
    lines.fail("the epochs do not cover the years of validity");
  }
  model.sets.resize(model.times.size());
  RowOrder row;
  while (row.n <= model.degree) {
    if (!lines.next()) {
      lines.fail("the file ends before the row " + std::to_string(row.n) + " " + std::to_string(row.m));
    }
    row.expect(lines);
    for (auto& set : model.sets) set.push_back(read_coefficient(lines));
    lines.end_of_line();
    row.advance();
  }
  while (lines.next())
    if (!trim(lines.line()).empty()) lines.fail("there is text after the last row");
  model.id = id_from(file_stem(text.table_name));
  if (model.id.empty()) lines.fail("the file's name has no letter or digit to make an id of");
  model.title = printable(file_stem(text.table_name));
  model.source = "coefficient file " + model.title + " in the SHC layout";
  finish(model, text);
  return model;
}

}  // namespace

CoefficientSet read_publisher(const CoefficientText& text) {
  Lines lines(text.table_name, text.table);
  bool comments = false;
  bool more = lines.next();
  while (more && lines.line().starts_with('#')) {
    comments = true;
    more = lines.next();
  }
  if (!more) lines.fail("the file holds no coefficients");
  if (comments) return read_shc(text);
  // Without comments: the second word is a name in the WMM layout, a number in SHC.
  lines.word();
  const std::string_view second = lines.word();
  if (second.empty()) lines.fail("neither the WMM layout (epoch, name, date) nor the SHC layout (parameter line)");
  return parse_number(second) ? read_shc(text) : read_wmm(text);
}

}  // namespace agonic::field
