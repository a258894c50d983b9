#include "model/field/read_own.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "model/field/sha256.hpp"
#include "model/units/number.hpp"

namespace agonic::field {
namespace {

constexpr double kLargestNt = 1e6;
constexpr double kYearLimit = 10000;

constexpr std::array<std::string_view, 15> kKeys{"id",
                                                 "title",
                                                 "source",
                                                 "doi",
                                                 "licence",
                                                 "behaviour",
                                                 "valid_from",
                                                 "valid_to",
                                                 "radius_km",
                                                 "degree",
                                                 "normalisation",
                                                 "declination_error_a_deg",
                                                 "declination_error_b_deg_nt",
                                                 "declination_error_basis",
                                                 "rows"};
constexpr std::string_view kChecksumKey = "sha256";

// What the sidecar says, with the line each key stands on.
class About {
 public:
  explicit About(const CoefficientText& text) : lines_(text.sidecar_name, text.sidecar) {
    while (lines_.next()) {
      const auto colon = lines_.line().find(": ");
      if (colon == std::string_view::npos) lines_.fail("a line 'key: value' is expected");
      const std::string_view key = lines_.line().substr(0, colon);
      const std::string_view value = trim(lines_.line().substr(colon + 2));
      if (key != kChecksumKey && std::find(kKeys.begin(), kKeys.end(), key) == kKeys.end()) {
        lines_.fail("unknown key '" + printable(key) + "'");
      }
      if (has(key)) lines_.fail("the key '" + std::string(key) + "' stands here a second time");
      if (value.empty()) lines_.fail("the key '" + std::string(key) + "' has no value");
      entries_.push_back({key, value, lines_.line_number()});
    }
  }

  [[nodiscard]] bool has(std::string_view key) const { return find(key) != nullptr; }
  [[nodiscard]] std::string text(std::string_view key) const { return std::string(entry(key).value); }
  [[nodiscard]] double number(std::string_view key, double low, double high) const {
    const Entry& e = entry(key);
    const std::optional<double> value = parse_number(e.value);
    if (!value || *value < low || *value > high) {
      lines_.fail_at(e.line, std::string(key) + " is expected to be a number from " + format_trimmed(low) + " to " +
                                 format_trimmed(high) + ", not '" + printable(e.value) + "'");
    }
    return *value;
  }
  [[nodiscard]] int integer(std::string_view key, int low, int high) const {
    const double value = number(key, low, high);
    if (value != std::floor(value)) fail(key, "a whole number is expected");
    return static_cast<int>(value);
  }
  [[noreturn]] void fail(std::string_view key, const std::string& what) const {
    lines_.fail_at(entry(key).line, std::string(key) + ": " + what);
  }

 private:
  struct Entry {
    std::string_view key, value;
    int line;
  };
  [[nodiscard]] const Entry* find(std::string_view key) const {
    for (const Entry& e : entries_)
      if (e.key == key) return &e;
    return nullptr;
  }
  [[nodiscard]] const Entry& entry(std::string_view key) const {
    const Entry* e = find(key);
    if (e == nullptr) lines_.fail("the key '" + std::string(key) + "' is missing");
    return *e;
  }

  Lines lines_;
  std::vector<Entry> entries_;
};

TimeBehaviour behaviour(const About& about) {
  const std::string word = about.text("behaviour");
  if (word == "linear") return TimeBehaviour::linear;
  if (word == "piecewise") return TimeBehaviour::piecewise;
  if (word == "spline") return TimeBehaviour::spline;
  about.fail("behaviour", "linear, piecewise or spline is expected, not '" + printable(word) + "'");
}

CoefficientSet from_about(const About& about) {
  CoefficientSet model;
  model.id = about.text("id");
  if (!std::all_of(model.id.begin(), model.id.end(),
                   [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'); })) {
    about.fail("id", "lower-case letters and digits are expected");
  }
  model.title = about.text("title");
  model.source = about.text("source");
  model.doi = about.text("doi");
  model.licence = about.text("licence");
  model.behaviour = behaviour(about);
  model.valid_from = about.number("valid_from", -kYearLimit, kYearLimit);
  model.valid_to = about.number("valid_to", -kYearLimit, kYearLimit);
  if (model.valid_to < model.valid_from) about.fail("valid_to", "it lies before valid_from");
  model.radius_km = about.number("radius_km", 1000, 10000);
  model.degree = about.integer("degree", 1, kMaxDegree);
  if (about.text("normalisation") != "schmidt-semi") about.fail("normalisation", "only schmidt-semi is read");
  const int rows = about.integer("rows", 1, 1000000);
  if (static_cast<std::size_t>(rows) != model.values_per_set()) {
    about.fail("rows", "degree " + std::to_string(model.degree) + " has " + std::to_string(model.values_per_set()) +
                           " rows, not " + std::to_string(rows));
  }
  if (about.has("declination_error_a_deg") || about.has("declination_error_b_deg_nt") ||
      about.has("declination_error_basis")) {
    model.declination_error = {about.number("declination_error_a_deg", 0, 180),
                               about.number("declination_error_b_deg_nt", 0, 1e6),
                               about.text("declination_error_basis")};
  }
  model.sha256 = about.text(kChecksumKey);
  return model;
}

std::size_t sets_of(const CoefficientSet& model, const Lines& lines) {
  switch (model.behaviour) {
    case TimeBehaviour::linear:
      if (model.times.size() != 1) lines.fail("a linear model has one epoch");
      return 2;
    case TimeBehaviour::piecewise:
      if (model.times.size() < 2) lines.fail("a piecewise model has two epochs and more");
      return model.times.size();
    case TimeBehaviour::spline:
      break;
  }
  if (model.times.size() < 8) lines.fail("a cubic spline has eight knots and more");
  return model.times.size() - 4;
}

// The span that the times can serve; a linear model goes either way from its epoch.
void check_span(const CoefficientSet& model, const Lines& lines) {
  if (model.behaviour == TimeBehaviour::linear) return;
  const std::size_t inset = model.behaviour == TimeBehaviour::spline ? 3 : 0;
  if (model.valid_from < model.times[inset] || model.valid_to > model.times[model.times.size() - 1 - inset]) {
    lines.fail("the times do not cover the years from valid_from to valid_to");
  }
}

}  // namespace

void RowOrder::advance() {
  if (m > 0) {
    m = -m;
  } else if (-m < n) {
    m = 1 - m;
  } else {
    ++n;
    m = 0;
  }
}

void RowOrder::expect(Lines& lines) const {
  const int row_n = lines.integer("the degree n");
  const int row_m = lines.integer("the order m");
  if (row_n != n || row_m != m) {
    lines.fail("the row " + std::to_string(n) + " " + std::to_string(m) + " is expected here, not " +
               std::to_string(row_n) + " " + std::to_string(row_m) + " (a row is missing, repeated or out of order)");
  }
}

double read_coefficient(Lines& lines) {
  const double value = lines.number("a coefficient in nT");
  if (std::abs(value) > kLargestNt) lines.fail("a coefficient beyond 1e6 nT");
  return value;
}

double read_year(Lines& lines, std::string_view what) {
  const double year = lines.number(what);
  if (std::abs(year) > kYearLimit) lines.fail(std::string(what) + " lies outside -10000 to 10000");
  return year;
}

std::vector<double> read_years(Lines& lines, std::string_view what) {
  std::vector<double> years{read_year(lines, what)};
  for (Lines ahead = lines; !ahead.word().empty(); ahead = lines) {
    years.push_back(read_year(lines, what));
    if (!(years.back() > years[years.size() - 2])) lines.fail("the years do not ascend");
  }
  return years;
}

CoefficientSet read_own(const CoefficientText& text) {
  const About about(text);
  CoefficientSet model = from_about(about);
  Lines lines(text.table_name, text.table);
  do {
    if (!lines.next()) lines.fail("the file ends before a line 'times'");
  } while (lines.line().starts_with('#'));
  if (lines.word() != "times") lines.fail("a line 'times' is expected");
  model.times = read_years(lines, "a decimal year");
  model.sets.assign(sets_of(model, lines), {});
  if (model.behaviour == TimeBehaviour::linear) model.epoch = model.times.front();
  check_span(model, lines);
  for (auto& set : model.sets) set.reserve(model.values_per_set());

  RowOrder order;
  for (std::size_t row = 0; row < model.values_per_set(); ++row) {
    if (!lines.next()) lines.fail("the file ends after " + std::to_string(row) + " rows");
    order.expect(lines);
    for (auto& set : model.sets) set.push_back(read_coefficient(lines));
    lines.end_of_line();
    order.advance();
  }
  if (!lines.next() || lines.line() != "end") lines.fail("the line 'end' is expected after the last row");
  if (lines.next()) lines.fail("there is text after the line 'end'");
  if (const std::string found = sha256(text.table); found != model.sha256) {
    about.fail(kChecksumKey, "the table " + text.table_name + " has the SHA-256 " + found + ": it was changed");
  }
  prepare(model);
  return model;
}

}  // namespace agonic::field
