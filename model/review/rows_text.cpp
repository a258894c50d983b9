#include "model/review/rows_text.hpp"

#include "model/units/date.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

struct Spans {
  std::string text;
  std::size_t left = 0;  // rows not named
};

Spans spans(const std::vector<std::uint64_t>& numbers, std::size_t most) {
  Spans out;
  std::size_t said = 0;
  for (std::size_t i = 0; i < numbers.size();) {
    std::size_t end = i + 1;
    while (end < numbers.size() && numbers[end] == numbers[end - 1] + 1) ++end;
    if (said++ == most) {
      out.left = numbers.size() - i;
      break;
    }
    out.text += (i > 0 ? ", " : "") + std::to_string(numbers[i]);
    if (end - i > 1) out.text += (end - i > 2 ? "-" : ", ") + std::to_string(numbers[end - 1]);
    i = end;
  }
  return out;
}

}  // namespace

std::string rows_of_words(const Report& report, const std::vector<std::size_t>& entries, std::size_t most) {
  std::vector<std::uint64_t> rows, lines;
  for (const std::size_t i : entries) {
    rows.push_back(report.notebook.entries[i].row);
    lines.push_back(report.notebook.entries[i].line);
  }
  if (rows.size() == report.notebook.entries.size() && rows.size() > 1)
    return "all " + std::to_string(rows.size()) + " rows";
  const Spans said = spans(rows, most);
  std::string out = (rows.size() == 1 ? "row " : "rows ") + said.text;
  if (report.notebook.lines) out += (rows.size() == 1 ? " (line " : " (lines ") + spans(lines, most).text + ")";
  if (said.left > 0) out += " and " + std::to_string(said.left) + " more";
  return out;
}

std::string factor_heading(const Report& report, Factor factor) {
  return report.notebook.factor_names[static_cast<std::size_t>(factor)];
}

std::string dates_words(const std::optional<std::chrono::sys_days>& first,
                        const std::optional<std::chrono::sys_days>& last) {
  if (!first) return "-";
  return *first == *last ? iso_day(*first) : iso_day(*first) + " to " + iso_day(*last);
}

std::string range_words(const Range& range, int decimals) {
  if (range.empty()) return "-";
  const auto side = [&](double value) {
    return value == 0 ? std::string("0") : declination_side_text(value, decimals);
  };
  const std::string low = side(range.low), high = side(range.high);
  return low == high ? low : low + " to " + high;
}

std::string standing_words(const std::optional<Standing>& standing) {
  if (!standing) return "-";
  const std::string size = format_fixed(standing->offset_deg, 1);
  return (size.starts_with("-") || size == "0.0" ? "" : "+") + size + " +/- " + format_fixed(standing->sigma_deg, 1) +
         " on " + std::to_string(standing->lines);
}

}  // namespace agonic::review
