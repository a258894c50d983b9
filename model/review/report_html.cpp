// The report as a page: nothing but text, tables and drawings in one file.
#include <algorithm>

#include "model/paper/svg.hpp"
#include "model/review/measure.hpp"
#include "model/review/plots.hpp"
#include "model/review/reviewer.hpp"
#include "model/review/rows_text.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

constexpr std::size_t kSpans = 40;

// Contrast at least 7 to 1 for text on both grounds.
constexpr std::string_view kStyle = R"(
:root{color-scheme:light dark;--ground:#fff;--card:#f4f6f8;--ink:#1b1f24;--muted:#454d57;--line:#c9d0d8;--grid:#d5dae0;
--first:#1f5f8b;--second:#94400f}
@media (prefers-color-scheme:dark){:root{--ground:#14181c;--card:#1e242a;--ink:#eef1f4;--muted:#c3cad2;--line:#414a54;
--grid:#333b44;--first:#7cc0ee;--second:#f0a36b}}
*{box-sizing:border-box}
body{margin:0 auto;max-width:64rem;padding:1.5rem 1.1rem 3rem;background:var(--ground);color:var(--ink);
font:1rem/1.55 "DejaVu Sans",system-ui,sans-serif}
h1{font-size:1.7rem;line-height:1.2;margin:0 0 .4rem}
h2{font-size:1.25rem;margin:2.4rem 0 .8rem;padding-bottom:.25rem;border-bottom:1px solid var(--line)}
h3{font-size:1.05rem;margin:0 0 .5rem}
p{margin:.4rem 0;max-width:46rem}
.lead{font-size:1.08rem;color:var(--muted)}
.figures{display:flex;flex-wrap:wrap;gap:.8rem;margin:1.2rem 0;padding:0;list-style:none}
.figures li{flex:1 1 8rem;background:var(--card);border-radius:.5rem;padding:.7rem .9rem}
.figures b{display:block;font-size:1.7rem;line-height:1.15}
.finding{background:var(--card);border-radius:.5rem;padding:1rem 1.1rem;margin:0 0 1rem;border-left:.3rem solid var(--second)}
.finding.warn{border-left-color:var(--first)}
.ask{font-weight:700}
dl{margin:.6rem 0 .6rem;max-width:48rem}
dt{font-weight:700;margin-top:.5rem}
dd{margin:0 0 0 1.1rem}
.rows{color:var(--muted);font-size:.92rem;overflow-wrap:anywhere}
code{font-family:"DejaVu Sans Mono",ui-monospace,monospace;font-size:.95em}
.plots{display:grid;grid-template-columns:repeat(auto-fit,minmax(16rem,1fr));gap:1rem}
figure{margin:0 0 1.4rem}
figcaption{color:var(--muted);font-size:.95rem;margin-top:.3rem}
svg{width:100%;height:auto;max-width:100%}
.plots svg{max-width:22rem}
.wide{overflow-x:auto}
.wide svg{min-width:34rem}
svg text.ink{fill:var(--ink)}svg text.muted{fill:var(--muted)}svg text.second{fill:var(--second)}
svg path.grid{stroke:var(--grid)}svg path.axis{stroke:var(--muted)}svg path.ink-line{stroke:var(--ink)}
svg path.first{fill:var(--first)}svg path.second{fill:var(--second)}svg path.second-line{stroke:var(--second)}
.table{overflow-x:auto;margin:0 0 1.4rem}
table{border-collapse:collapse;width:100%;font-size:.95rem;font-variant-numeric:tabular-nums}
caption{text-align:left;font-weight:700;padding:.2rem 0 .4rem}
th,td{text-align:left;padding:.35rem .7rem .35rem 0;border-bottom:1px solid var(--line);white-space:nowrap;vertical-align:top}
td:first-child,th:first-child{white-space:normal;min-width:8rem}
td.n,th.n{text-align:right}
.apart{font-weight:700;color:var(--second)}
footer{margin-top:2.5rem;color:var(--muted);font-size:.95rem}
@media print{:root{--ground:#fff;--card:#fff;--ink:#000;--muted:#222;--line:#888;--grid:#bbb;--first:#1f5f8b;--second:#94400f}
body{max-width:none;padding:0;font-size:10pt}.finding{border:1px solid #888;border-left:.3rem solid #555}
.finding,figure,tr,.figures li{break-inside:avoid}h2,h3{break-after:avoid}.wide svg{min-width:0}.table,.wide{overflow:visible}
th,td{white-space:normal}@page{margin:15mm}}
)";

std::string escaped(std::string_view text) { return paper::escape_xml(text); }

std::string tag(const char* name, std::string_view text) {
  return std::string("<") + name + ">" + escaped(text) + "</" +
         std::string(name).substr(0, std::string_view(name).find(' ')) + ">\n";
}

std::string figure_of(const std::optional<paper::Drawing>& drawing, const char* prefix, const char* kind,
                      std::string_view caption) {
  if (!drawing) return "";
  const auto svg = paper::to_svg(*drawing, {prefix, false});
  if (!svg) return "";
  return std::string("<figure class=\"") + kind + "\">" + *svg + "<figcaption>" + escaped(caption) +
         "</figcaption></figure>\n";
}

std::string finding_html(const Report& report, const Finding& finding, std::size_t number) {
  const bool asks = !finding.question.empty();
  std::string out = std::string("<section class=\"finding") + (asks ? "" : " warn") + "\">\n";
  if (asks) {
    out += "<h3>" + std::to_string(number) + ". " + escaped(finding.question) + "</h3>\n";
    out += tag("p", finding.what);
  } else {
    out += tag("h3", finding.what);
    out += tag("p", std::string(info(finding.check).remedy) + ".");
  }
  if (!finding.answers.empty()) {
    out += "<dl>\n";
    for (const Answer& answer : finding.answers) out += tag("dt", answer.answer) + tag("dd", answer.follows + ".");
    out += "</dl>\n";
  }
  out += "<p class=\"rows\"><code>" + std::string(info(finding.check).code) + "</code> · " +
         escaped(rows_of_words(report, finding.entries, kSpans));
  if (finding.degrees > 0) out += " · about " + format_fixed(finding.degrees, 1) + "° a row";
  return out + "</p>\n</section>\n";
}

std::string cell(std::string_view text, bool number = false, const char* more = "") {
  return std::string("<td") + (number ? " class=\"n" + std::string(*more ? " " : "") + more + "\"" : "") + ">" +
         escaped(text) + "</td>";
}

std::string groups_html(const Report& report) {
  std::string out;
  for (std::size_t f = 0; f < static_cast<std::size_t>(Factor::instrument_year); ++f) {
    const auto factor = static_cast<Factor>(f);
    std::string rows;
    for (const GroupReport& group : report.groups) {
      if (group.factor != factor) continue;
      const bool apart = group.standing && std::abs(group.standing->offset_deg) > threshold::kApartDeg &&
                         std::abs(group.standing->offset_deg) > threshold::kSignificance * group.standing->sigma_deg;
      rows += "<tr><th scope=\"row\">" + escaped(group.name) + "</th>" + cell(std::to_string(group.rows), true) +
              cell(group.refused == 0 ? "–" : std::to_string(group.refused), true) +
              cell(dates_words(group.first, group.last)) + cell(range_words(group.declination, 1)) +
              cell(range_words(group.setting, 1)) +
              cell(group.mean_deg ? format_azimuth(*group.mean_deg, 0) + (group.mean_of_axes ? " (axis)" : "") : "–",
                   true) +
              cell(standing_words(group.standing), true, apart ? "apart" : "") + "</tr>\n";
    }
    if (rows.empty()) continue;
    out += "<div class=\"table\" tabindex=\"0\" role=\"region\" aria-label=\"Groups by " +
           escaped(factor_heading(report, factor)) + "\"><table><caption>By " +
           escaped(factor_heading(report, factor)) + "</caption>\n<thead><tr><th scope=\"col\">" +
           escaped(factor_heading(report, factor)) +
           "</th><th scope=\"col\" class=\"n\">rows</th><th scope=\"col\" class=\"n\">refused</th><th "
           "scope=\"col\">dates</th>"
           "<th scope=\"col\">declination</th><th scope=\"col\">set</th><th scope=\"col\" class=\"n\">mean</th>"
           "<th scope=\"col\" class=\"n\">from the others</th></tr></thead>\n<tbody>\n" +
           rows + "</tbody></table></div>\n";
  }
  return out;
}

}  // namespace

std::string to_html(const Report& report) {
  const Notebook& book = report.notebook;
  std::size_t questions = 0;
  for (const Finding& finding : report.findings)
    if (!finding.question.empty()) ++questions;
  std::string out =
      "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<title>Review of a data set</title>\n<style>" +
      std::string(kStyle) + "</style>\n</head>\n<body>\n<main>\n<h1>Review of a data set</h1>\n";
  std::string lead = rows_text(book.entries.size());
  if (report.first) lead += ", read " + dates_words(report.first, report.last);
  if (!report.declination.empty()) lead += ", declination " + range_words(report.declination, 1);
  out += "<p class=\"lead\">" + escaped(lead) + ". Nothing was changed by this review.</p>\n<ul class=\"figures\">";
  const auto figure = [&](std::uint64_t n, const std::string& what) {
    out += "<li><b>" + std::to_string(n) + "</b>" + escaped(what) + "</li>";
  };
  figure(book.corrected, "can be corrected");
  if (book.unchanged > 0) figure(book.unchanged, "true already");
  figure(book.refused, "cannot be corrected");
  figure(questions, questions == 1 ? "question to ask" : "questions to ask");
  figure(report.shared_lines, "lines read more than once");
  out += "</ul>\n";

  out += questions == 0
             ? "<h2>Nothing to ask</h2>\n<p>No group stands apart, no place lies out, every row can be corrected.</p>\n"
             : "<h2>Questions, by what they move</h2>\n";
  std::size_t number = 0;
  for (const Finding& finding : report.findings)
    if (!finding.question.empty()) out += finding_html(report, finding, ++number);
  if (questions < report.findings.size()) out += "<h2>Worth knowing</h2>\n";
  for (const Finding& finding : report.findings)
    if (finding.question.empty()) out += finding_html(report, finding, 0);

  const std::string roses =
      figure_of(rose(report, true), "before", "rose", "Before: as read, planes by both ends of their strike.") +
      figure_of(rose(report, false), "after", "rose", "After: from true north, as the file stands now.");
  const std::string time =
      figure_of(declination_over_time(report), "time", "wide",
                "Declination of each row. A mark far from the dots of its year is a setting to ask about.");
  const std::string residuals = figure_of(
      residuals_by_group(report), "residuals", "wide",
      "Degrees clockwise of the mean of each line, with the number of readings; the bar is the median. A whole "
      "group at D or 2D was corrected otherwise than the others.");
  if (!(roses + time + residuals).empty())
    out += "<h2>To look at</h2>\n<div class=\"plots\">\n" + roses + "</div>\n" + time + residuals;
  if (!report.groups.empty())
    out +=
        "<h2>Groups</h2>\n<p>“From the others”: degrees clockwise of the line’s mean with its standard error, on so "
        "many shared lines.</p>\n" +
        groups_html(report);
  return out +
         "</main>\n<footer><p>A compass is wrong near iron, power lines, vehicles and some rocks, and in magnetic "
         "storms. The models do not know local rock: check against a line of known azimuth or the sun. "
         "agonic " AGONIC_VERSION "</p></footer>\n</body>\n</html>\n";
}

std::string write(const Report& report, Format format) {
  switch (format) {
    case Format::json:
      return to_json(report);
    case Format::text:
      return to_text(report);
    case Format::html:
      return to_html(report);
  }
  return {};
}

}  // namespace agonic::review
