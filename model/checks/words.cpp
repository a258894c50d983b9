// The catalogue for people and for programs.
#include <algorithm>
#include <nlohmann/json.hpp>
#include <optional>

#include "model/checks/catalogue.hpp"
#include "model/units/number.hpp"
#include "model/units/prose.hpp"

namespace agonic::checks {
namespace {

using Json = nlohmann::ordered_json;
constexpr std::size_t kWidth = 88;

std::string_view said(Kind kind) {
  switch (kind) {
    case Kind::stop:
      return "stop: it is refused";
    case Kind::ask:
      return "question: it is done, and asked about";
    case Kind::warn:
      return "warning: it is done, and marked";
    case Kind::note:
      return "note: said along with it";
  }
  return {};
}

std::string places(const Entry& entry) {
  std::string out;
  for (std::size_t i = 0; i < kPlaces; ++i)
    if ((entry.where & at(static_cast<Where>(i))) != 0)
      out += (out.empty() ? "" : ", ") + std::string(word(static_cast<Where>(i)));
  return out;
}

std::string limit_text(const Limit& limit) {
  return std::string(limit.name) + " " + format_trimmed(limit.value, 2) +
         (limit.unit.empty() ? "" : " " + std::string(limit.unit)) + " (" + std::string(word(limit.basis)) + ")";
}

constexpr std::size_t kLabel = 16;

std::string paragraph(std::string_view label, std::string_view text) {
  std::string first = "  " + std::string(label);
  first.resize(kLabel, ' ');
  return wrapped(text, first, std::string(kLabel, ' '), kWidth);
}

bool always(const Example& example) { return example.passes.text.empty() && example.passes.options.empty(); }

// One input: cells on a line, documents set in below.
std::string input_text(std::string_view label, const Input& input) {
  const bool document = input.text.find('\n') != std::string_view::npos;
  std::string line(document ? "" : input.text);
  if (!input.options.empty()) line += (line.empty() ? "with " : "  with ") + std::string(input.options);
  std::string out = paragraph(label, line.empty() ? (document ? "this document" : "nothing more") : line);
  if (!document) return out;
  std::string_view rest = input.text;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    out += std::string(6, ' ') + std::string(rest.substr(0, end)) + '\n';
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
  return out;
}

Json input_json(const Input& input) {
  Json out;
  out["input"] = input.text;
  if (!input.options.empty()) out["options"] = input.options;
  return out;
}

Json json_of(const Entry& entry) {
  Json out;
  out["code"] = entry.code;
  out["kind"] = word(entry.kind);
  Json where = Json::array();
  for (std::size_t i = 0; i < kPlaces; ++i)
    if ((entry.where & at(static_cast<Where>(i))) != 0) where.push_back(word(static_cast<Where>(i)));
  out["where"] = std::move(where);
  out["meaning"] = sentence(entry.meaning);
  out["why"] = sentence(entry.why);
  out["remedy"] = sentence(entry.remedy);
  Json limits = Json::array();
  for (const Limit& limit : entry.limits)
    if (!limit.name.empty())
      limits.push_back(
          {{"name", limit.name}, {"value", limit.value}, {"unit", limit.unit}, {"basis", word(limit.basis)}});
  out["thresholds"] = std::move(limits);
  Json example{{"where", word(entry.example.door)}};
  if (const auto from = base(entry.example.door); !from.empty() && !entry.example.in_words) example["base"] = from;
  example["raises"] = input_json(entry.example.raises);
  example["passes"] = always(entry.example) ? Json() : input_json(entry.example.passes);
  out["example"] = std::move(example);
  out["page"] = "/checks/" + std::string(entry.code);
  return out;
}

}  // namespace

std::string sentence(std::string_view text) {
  std::string out(text);
  if (!out.empty() && out.front() >= 'a' && out.front() <= 'z' && !text.starts_with("azimuth_") &&
      !text.starts_with("dip_"))
    out.front() = static_cast<char>(out.front() - 32);
  if (!out.empty() && out.back() != '.' && out.back() != '?') out += '.';
  return out;
}

std::string to_text(const Entry& entry) {
  std::string out = std::string(entry.code) + "\n";
  out += wrapped(std::string(said(entry.kind)) + "; raised in: " + places(entry), "  ", "  ", kWidth) + "\n";
  out += paragraph("When", sentence(entry.meaning));
  for (bool first = true; const Limit& limit : entry.limits)
    if (!limit.name.empty()) {
      out += paragraph(first ? "Threshold" : "", limit_text(limit));
      first = false;
    }
  out += paragraph("Why", sentence(entry.why));
  out += paragraph("What to do", sentence(entry.remedy));
  out += "\n  Example (invented)\n";
  if (const auto from = base(entry.example.door); !from.empty() && !entry.example.in_words)
    out += paragraph("  start from", from);
  out += input_text("  raised by", entry.example.raises);
  if (always(entry.example))
    out += paragraph("  not by", "nothing: it is always said");
  else
    out += input_text("  not by", entry.example.passes);
  return out;
}

std::string list_text() {
  std::string out;
  std::optional<Where> last;
  for (const Entry& entry : catalogue()) {
    if (last != group(entry)) {
      last = group(entry);
      out += (out.empty() ? "" : "\n") + std::string(heading(*last)) + "\n";
    }
    std::string first = "  " + std::string(word(entry.kind)) + "  ";
    if (first.size() < 8) first.resize(8, ' ');
    first += entry.code;
    first += "  ";
    if (first.size() < 42) first.resize(42, ' ');
    // The first clause says enough in a list; a point between figures does not end it.
    std::size_t end = entry.meaning.find(':');
    end = std::min({end, entry.meaning.find(". "), entry.meaning.size()});
    std::string clause = sentence(entry.meaning.substr(0, end));
    clause.pop_back();
    out += wrapped(clause, first, std::string(42, ' '), 110);
  }
  return out + "\nagonic explain CODE tells when, why, what to do, and an example.\n";
}

std::string to_json(const Entry& entry) { return json_of(entry).dump(); }

std::string list_json() {
  Json all = Json::array();
  for (const Entry& entry : catalogue()) all.push_back(json_of(entry));
  return Json{{"checks", std::move(all)}}.dump();
}

}  // namespace agonic::checks
