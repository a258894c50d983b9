// The report for a terminal.
#include <algorithm>

#include "model/review/measure.hpp"
#include "model/review/reviewer.hpp"
#include "model/review/rows_text.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

constexpr std::size_t kWidth = 100;
constexpr std::size_t kSpans = 12;
constexpr std::size_t kGroupsShown = 25;

std::size_t width(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

// Words in lines of kWidth, the first line behind `first`, the others indented as far.
std::string wrapped(const std::string& first, std::string_view text) {
  std::string out, line = first;
  const std::string indent(width(first), ' ');
  bool begun = false;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    const auto word = text.substr(0, end);
    if (begun && width(line) + 1 + width(word) > kWidth) {
      out += line + '\n';
      line = indent;
      begun = false;
    }
    if (begun) line += ' ';
    line += word;
    begun = true;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out + line + '\n';
}

using Table = std::vector<std::vector<std::string>>;

std::string columns(const Table& table, const std::vector<bool>& right) {
  std::vector<std::size_t> widths(right.size());
  for (const auto& row : table)
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], width(row[i]));
  std::string out;
  for (const auto& row : table) {
    std::string line = "  ";
    for (std::size_t i = 0; i < row.size(); ++i) {
      const std::string pad(widths[i] - width(row[i]), ' ');
      line += (i > 0 ? "  " : "") + (right[i] ? pad + row[i] : row[i] + pad);
    }
    out += line.substr(0, line.find_last_not_of(' ') + 1) + '\n';
  }
  return out;
}

std::string counts(const Report& report) {
  const Notebook& book = report.notebook;
  std::string out = rows_text(book.entries.size()) + ": " + std::to_string(book.corrected) + " can be corrected";
  if (book.unchanged > 0) out += ", " + std::to_string(book.unchanged) + " are true already";
  if (book.refused > 0) out += ", " + std::to_string(book.refused) + " cannot";
  return out + ".";
}

std::string overview(const Report& report) {
  std::string out = counts(report);
  if (report.first) out += " Read " + dates_words(report.first, report.last) + ".";
  if (!report.declination.empty()) out += " Declination " + range_words(report.declination, 1) + ".";
  if (report.shared_lines > 0) {
    out +=
        " " + count(report.shared_lines, "line or structure was", "lines or structures were") + " read more than once";
    if (report.repeat_sigma_deg > 0)
      out += ", by one hand on one line to " + format_fixed(report.repeat_sigma_deg, 1) + " degrees (1-sigma)";
    out += ".";
  }
  return out;
}

std::string finding_text(const Report& report, const Finding& finding, const std::string& number) {
  std::string out = wrapped(number, finding.what);
  const std::string indent(number.size(), ' ');
  if (!finding.question.empty()) out += wrapped(indent + "Ask: ", finding.question);
  for (const Answer& answer : finding.answers)
    out += wrapped(indent + "  - ", answer.answer + ": " + answer.follows + ".");
  std::string which = std::string(info(finding.check).code) + ", " + rows_of_words(report, finding.entries, kSpans);
  if (finding.degrees > 0)
    out += wrapped(indent, "[" + which + "; about " + format_fixed(finding.degrees, 1) + " degrees a row]");
  else
    out += wrapped(indent, "[" + which + "]");
  return out;
}

std::string groups_text(const Report& report) {
  std::string out;
  for (std::size_t f = 0; f < static_cast<std::size_t>(Factor::instrument_year); ++f) {
    Table table{{factor_heading(report, static_cast<Factor>(f)), "rows", "refused", "dates", "declination", "mean",
                 "from the others"}};
    std::size_t left = 0;
    for (const GroupReport& group : report.groups) {
      if (group.factor != static_cast<Factor>(f)) continue;
      if (table.size() > kGroupsShown) {
        ++left;
        continue;
      }
      table.push_back(
          {printable(group.name, 40), std::to_string(group.rows),
           group.refused == 0 ? "-" : std::to_string(group.refused), dates_words(group.first, group.last),
           range_words(group.declination, 1),
           group.mean_deg ? format_azimuth(*group.mean_deg, 0) + (group.mean_of_axes ? " (axis)" : "") : "-",
           standing_words(group.standing)});
    }
    if (table.size() < 2) continue;
    out += columns(table, {false, true, true, false, false, true, true});
    if (left > 0) out += "  and " + std::to_string(left) + " more (in --json)\n";
    out += '\n';
  }
  return out;
}

}  // namespace

std::string to_text(const Report& report) {
  std::string out = wrapped("", overview(report)) + '\n';
  const auto questions = static_cast<std::size_t>(std::count_if(report.findings.begin(), report.findings.end(),
                                                                [](const Finding& f) { return !f.question.empty(); }));
  if (questions == 0)
    out += "Nothing to ask.\n\n";
  else
    out += "Questions, by what they move\n\n";
  std::size_t number = 0;
  for (const Finding& finding : report.findings) {
    if (finding.question.empty()) continue;
    std::string head = std::to_string(++number) + ". ";
    if (head.size() < 4) head.insert(0, 1, ' ');
    out += finding_text(report, finding, head) + '\n';
  }
  if (questions < report.findings.size()) out += "Worth knowing\n\n";
  for (const Finding& finding : report.findings)
    if (finding.question.empty()) out += finding_text(report, finding, "  - ") + '\n';
  if (!report.groups.empty())
    out += "Groups ('from the others': degrees clockwise of the line's mean, on so many shared lines)\n\n" +
           groups_text(report);
  out += "Nothing was changed. 'agonic explain CODE' tells more of a code in brackets.\n";
  return out;
}

std::string to_line(const Report& report) {
  const auto questions = static_cast<std::size_t>(std::count_if(report.findings.begin(), report.findings.end(),
                                                                [](const Finding& f) { return !f.question.empty(); }));
  std::string out = rows_text(report.notebook.entries.size());
  if (report.notebook.refused > 0) out += ", " + std::to_string(report.notebook.refused) + " refused";
  return out + "; " + count(questions, "question", "questions") + ", " +
         count(report.findings.size() - questions, "remark", "remarks");
}

}  // namespace agonic::review
