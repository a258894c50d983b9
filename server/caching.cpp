#include "server/caching.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>

#include "model/units/number.hpp"

namespace agonic::server {

namespace {

// Eight bytes a step, each stirred by the finalizer of SplitMix64 (Steele, Lea and Flood 2014,
// doi:10.1145/2660193.2660195). The tag tells answers apart; it protects nothing.
class Fingerprint {
 public:
  void add(std::string_view text) noexcept {
    add_word(text.size());
    for (; text.size() >= 8; text.remove_prefix(8)) {
      std::uint64_t word = 0;
      std::memcpy(&word, text.data(), 8);
      add_word(word);
    }
    std::uint64_t rest = 0;
    std::memcpy(&rest, text.data(), text.size());
    add_word(rest);
  }
  [[nodiscard]] std::array<std::uint64_t, 2> value() const noexcept { return {a_, b_}; }

 private:
  static std::uint64_t stirred(std::uint64_t z) noexcept {
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
    return z ^ (z >> 31);
  }
  void add_word(std::uint64_t word) noexcept {
    a_ = stirred(a_ ^ word);
    b_ = stirred(b_ + word);
  }
  std::uint64_t a_ = 0x9E3779B97F4A7C15, b_ = 0x6A09E667F3BCC909;
};

}  // namespace

std::string entity_tag(const Call& call, std::string_view what) {
  Fingerprint print;
  print.add(call.service.engine.digest());
  print.add(AGONIC_VERSION);
  print.add(call.request.path);
  print.add(what);
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string tag(34, '"');
  std::size_t at = 1;
  for (const std::uint64_t half : print.value())
    for (int shift = 60; shift >= 0; shift -= 4) tag[at++] = kDigits[half >> shift & 15];
  return tag;
}

bool none_match_names(const Request& request, std::string_view tag) {
  for (const NamedText& header : request.headers) {
    if (header.first != "if-none-match") continue;
    std::string_view rest = header.second;
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find(','), rest.size());
      std::string_view one = trim(rest.substr(0, end));
      if (one.starts_with("W/")) one.remove_prefix(2);  // the comparison is the weak one
      if (one == tag) return true;
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
  }
  return false;
}

Response not_modified(std::string_view tag, std::string cache_control) {
  Response response;
  response.status = 304;
  response.with("ETag", std::string(tag)).with("Cache-Control", std::move(cache_control)).with("Vary", "Accept");
  return response;
}

Response cached_text(const Call& call, std::string_view text, std::string content_type, std::string cache_control) {
  const std::string tag = entity_tag(call, text);
  if (none_match_names(call.request, tag)) return not_modified(tag, std::move(cache_control));
  Response response;
  response.content_type = std::move(content_type);
  response.body = std::string(text);
  response.with("ETag", tag).with("Cache-Control", std::move(cache_control)).with("Vary", "Accept");
  return response;
}

long seconds_to_midnight(std::chrono::system_clock::time_point now) {
  const auto tomorrow = std::chrono::floor<std::chrono::days>(now) + std::chrono::days(1);
  return std::max<long>(1, std::chrono::floor<std::chrono::seconds>(tomorrow - now).count());
}

}  // namespace agonic::server
