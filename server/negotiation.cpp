#include "server/negotiation.hpp"

#include <algorithm>
#include <array>

#include "model/units/number.hpp"

namespace agonic::server {
namespace {

using exchange::Format;

struct Weight {
  int specificity = 0;  // 0: not named, 1: */*, 2: type/*, 3: type/subtype
  double quality = 0;
};

// The q of an element, in lower case: 1 where none is said.
double quality_of(std::string_view item) {
  const std::size_t q = item.find("q=");
  if (q == std::string_view::npos) return 1;
  const std::string_view text = item.substr(q + 2);
  return std::clamp(parse_number(trim(text.substr(0, text.find(';')))).value_or(0), 0.0, 1.0);
}

Weight weight_of(std::string_view accept, std::string_view type) {
  Weight best;
  const std::string family = std::string(type.substr(0, type.find('/'))) + "/*";
  while (!accept.empty()) {
    const std::size_t end = std::min(accept.find(','), accept.size());
    const std::string range = lower(trim(accept.substr(0, end)));
    accept.remove_prefix(std::min(end + 1, accept.size()));
    const std::string name(trim(std::string_view(range).substr(0, range.find(';'))));
    const int specificity = name == type ? 3 : name == family ? 2 : name == "*/*" ? 1 : 0;
    if (specificity <= best.specificity) continue;
    best = {specificity, quality_of(range)};
  }
  return best;
}

}  // namespace

std::optional<std::size_t> negotiate(std::string_view accept, std::span<const std::string_view> types) {
  if (trim(accept).empty()) return 0;
  std::optional<std::size_t> chosen;
  double quality = 0;
  for (std::size_t i = 0; i < types.size(); ++i) {
    const Weight weight = weight_of(accept, types[i]);
    if (weight.specificity > 0 && weight.quality > quality) {
      chosen = i;
      quality = weight.quality;
    }
  }
  return chosen;
}

bool accepts_coding(std::string_view accept_encoding, std::string_view coding) {
  // "*" among codings is as "*/*" among types, and says nothing of a coding that is itself named.
  double named = -1, any = -1;
  while (!accept_encoding.empty()) {
    const std::size_t end = std::min(accept_encoding.find(','), accept_encoding.size());
    const std::string item = lower(trim(accept_encoding.substr(0, end)));
    accept_encoding.remove_prefix(std::min(end + 1, accept_encoding.size()));
    const std::string_view name = trim(std::string_view(item).substr(0, item.find(';')));
    if (name == coding || (coding == "gzip" && name == "x-gzip")) named = quality_of(item);
    if (name == "*") any = quality_of(item);
  }
  return named >= 0 ? named > 0 : any > 0;
}

bool accepts_gzip(std::string_view accept_encoding) { return accepts_coding(accept_encoding, "gzip"); }

std::optional<Format> negotiate(std::string_view accept, Format own) {
  const std::array formats{own, Format::csv, Format::json, Format::ndjson, Format::geojson};
  std::array<std::string_view, formats.size()> types;
  std::transform(formats.begin(), formats.end(), types.begin(), exchange::media_type);
  const auto chosen = negotiate(accept, types);
  return chosen ? std::optional(formats[*chosen]) : std::nullopt;
}

std::string_view content_type(Format format) noexcept {
  return format == Format::csv ? "text/csv; charset=utf-8; header=present" : exchange::media_type(format);
}

}  // namespace agonic::server
