#include "server/check_pages.hpp"

#include <array>
#include <optional>

#include "model/units/number.hpp"
#include "server/caching.hpp"
#include "server/digest.hpp"
#include "server/negotiation.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

using checks::Entry;

// Text at least 7:1 against its ground in both schemes; links of lists at least 48 px high for cold fingers.
constexpr std::string_view kStyle = R"css(
:root { color-scheme: light dark; }
body { margin: 0 auto; max-width: 44rem; padding: 1rem; font: 1.0625rem/1.5 system-ui, sans-serif;
       background: #fff; color: #111; }
a { color: #003a8c; }
h1 { font-size: 1.5rem; line-height: 1.25; overflow-wrap: anywhere; margin: 1rem 0 .25rem; }
h2 { font-size: 1.125rem; margin: 1.5rem 0 .25rem; }
p { margin: .25rem 0 .75rem; }
.kind { font-weight: 700; }
pre { overflow-x: auto; padding: .75rem; border: 1px solid #555; font-size: 1rem; white-space: pre-wrap;
      overflow-wrap: anywhere; }
ul { padding: 0; list-style: none; }
li { border-top: 1px solid #999; }
li a { display: block; min-height: 48px; padding: .625rem 0; box-sizing: border-box; overflow-wrap: anywhere; }
nav a { display: inline-block; min-height: 48px; line-height: 48px; margin-right: 1rem; }
table { border-collapse: collapse; }
caption { text-align: left; font-weight: 700; }
th, td { text-align: left; padding: .25rem .75rem .25rem 0; vertical-align: top; }
@media (prefers-color-scheme: dark) {
  body { background: #111; color: #f2f2f2; }
  a { color: #a8cdff; }
  pre { border-color: #aaa; }
}
@media print { nav { display: none; } body { max-width: none; background: #fff; color: #000; } }
)css";

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '&')
      out += "&amp;";
    else if (c == '"')
      out += "&quot;";
    else
      out += c;
  }
  return out;
}

std::string page_of(std::string_view title, std::string_view main, bool link_to_index) {
  std::string out =
      "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
      escaped(title) + "</title>\n<style>";
  out += kStyle;
  out += "</style>\n</head>\n<body>\n<nav aria-label=\"Site\"><a href=\"/\">agonic</a>";
  if (link_to_index) out += "<a href=\"/checks\">All codes</a>";
  out += "</nav>\n<main>\n";
  out += main;
  return out + "</main>\n</body>\n</html>\n";
}

std::string_view kind_text(checks::Kind kind) {
  switch (kind) {
    case checks::Kind::stop:
      return "Stop: what raises it is refused.";
    case checks::Kind::ask:
      return "Question: what raises it is done, and asked about.";
    case checks::Kind::warn:
      return "Warning: what raises it is done, and marked.";
    case checks::Kind::note:
      return "Note: said along with an answer.";
  }
  return {};
}

std::string section(std::string_view heading, std::string_view text) {
  return "<h2>" + std::string(heading) + "</h2>\n<p>" + escaped(checks::sentence(text)) + "</p>\n";
}

std::string input_html(std::string_view label, const checks::Input& input) {
  std::string out = "<p>" + std::string(label);
  if (!input.options.empty()) out += ", with <code>" + escaped(input.options) + "</code>";
  out += input.text.empty() ? ".</p>\n" : ":</p>\n";
  if (!input.text.empty()) out += "<pre>" + escaped(input.text) + "</pre>\n";
  return out;
}

std::string example_html(const checks::Example& example) {
  std::string out = "<h2>Example</h2>\n<p>Invented.";
  if (const auto from = checks::base(example.door); !from.empty() && !example.in_words)
    out += " It starts from <code>" + escaped(from) + "</code>.";
  out += "</p>\n" + input_html("Raised by", example.raises);
  if (example.passes.text.empty() && example.passes.options.empty()) return out + "<p>It is always said.</p>\n";
  return out + input_html("Not raised by", example.passes);
}

std::string body_of(const Entry& entry) {
  std::string out = section("When it is raised", entry.meaning);
  std::string rows;
  for (const checks::Limit& limit : entry.limits)
    if (!limit.name.empty())
      rows += "<tr><th scope=\"row\">" + escaped(limit.name) + "</th><td>" + format_trimmed(limit.value, 2) + " " +
              escaped(limit.unit) + "</td><td>" + escaped(word(limit.basis)) + "</td></tr>\n";
  if (!rows.empty())
    out +=
        "<table>\n<caption>Thresholds</caption>\n<tr><th scope=\"col\">what</th><th scope=\"col\">limit</th>"
        "<th scope=\"col\">rests on</th></tr>\n" +
        rows + "</table>\n";
  out += section("Why it matters", entry.why) + section("What to do", entry.remedy) + example_html(entry.example);
  out += "<h2>Where</h2>\n<p>";
  bool first = true;
  for (std::size_t i = 0; i < checks::kPlaces; ++i)
    if ((entry.where & at(static_cast<checks::Where>(i))) != 0) {
      out += (first ? "" : "; ") + escaped(heading(static_cast<checks::Where>(i)));
      first = false;
    }
  return out + ".</p>\n";
}

}  // namespace

std::string check_index_html() {
  std::string main =
      "<h1>What the codes mean</h1>\n<p>Codes stand in the column <code>checks</code>, in summaries and notes, and in "
      "the "
      "type of a refusal. A stop refuses, a question and a warning mark, a note tells. Nothing is corrected by "
      "guess.</p>\n";
  std::optional<checks::Where> last;
  for (const Entry& entry : checks::catalogue()) {
    if (last != group(entry)) {
      if (last) main += "</ul>\n";
      last = group(entry);
      main += "<h2>" + escaped(heading(*last)) + "</h2>\n<ul>\n";
    }
    main += "<li><a href=\"/checks/" + escaped(entry.code) + "\">" + escaped(entry.code) + " (" +
            escaped(word(entry.kind)) + ")</a></li>\n";
  }
  return page_of("What the codes mean: agonic", main + "</ul>\n", false);
}

std::string check_html(const Entry& entry) {
  const std::string code = escaped(entry.code);
  return page_of(
      std::string(entry.code) + ": agonic",
      "<h1>" + code + "</h1>\n<p class=\"kind\">" + escaped(kind_text(entry.kind)) + "</p>\n" + body_of(entry), true);
}

std::string problem_html(const ErrorKind& kind) {
  std::string main = "<h1>" + escaped(kind.title) + "</h1>\n<p class=\"kind\">" + escaped(kind.word) +
                     ", HTTP status " + std::to_string(kind.status) + "</p>\n<p>" + escaped(kind.explanation) +
                     "</p>\n";
  if (const Entry* entry = checks::find(kind.word)) main += body_of(*entry);
  return page_of(std::string(kind.title) + ": agonic", main, true);
}

Response html_or_json(const Call& call, const std::string& html, const std::string& json) {
  static constexpr std::array<std::string_view, 2> kTypes{"application/json", "text/html"};
  static const std::string policy = "default-src 'none'; style-src 'sha256-" + sha256_base64(kStyle) +
                                    "'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
  const auto chosen = negotiate(call.request.header("accept").value_or(""), kTypes);
  if (!chosen) return refuse(HttpFault::not_acceptable, "this can be had as text/html and application/json", "Accept");
  const bool page = *chosen == 1;
  Response response = cached_text(call, page ? html : json, page ? "text/html; charset=utf-8" : "application/json",
                                  "public, max-age=86400");
  if (page) response.with("Content-Security-Policy", policy).with("Referrer-Policy", "no-referrer");
  return response;
}

}  // namespace agonic::server
