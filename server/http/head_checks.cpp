#include "server/http/head_checks.hpp"

#include <algorithm>
#include <charconv>
#include <string>

#include "model/units/number.hpp"

namespace agonic::server {
namespace {

bool is_token_char(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         std::string_view("!#$%&'*+-.^_`|~").find(c) != std::string_view::npos;
}
bool is_token(std::string_view text) { return !text.empty() && std::all_of(text.begin(), text.end(), is_token_char); }
bool is_digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}
bool is_hex(char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F'); }

Fault bad(std::string detail) { return {HttpFault::request_malformed, std::move(detail)}; }

// The library decodes what it can of a target and passes over the rest; nothing here may depend on that.
std::optional<Fault> check_target(std::string_view target) {
  if (target.size() > kTargetMax) return Fault{HttpFault::target_too_long, "the address is longer than 8000 bytes"};
  for (std::size_t i = 0; i < target.size(); ++i) {
    const auto byte = static_cast<unsigned char>(target[i]);
    if (byte <= 0x20 || byte >= 0x7f) return bad("the address holds a byte that must be written as %XX");
    if (byte != '%') continue;
    const std::string_view digits = target.substr(i + 1, 2);
    if (digits.size() < 2 || !is_hex(digits[0]) || !is_hex(digits[1]) || digits == "00")
      return bad("the address holds a malformed %XX");
  }
  return std::nullopt;
}

// A parameter that comes twice alike, has no name or two '=' is dropped or cut by the library without a word.
std::optional<Fault> check_query(const Request& request, std::string_view target) {
  const std::size_t mark = target.find('?');
  std::string_view rest = mark == std::string_view::npos ? std::string_view() : target.substr(mark + 1);
  std::size_t written = 0;
  while (!rest.empty()) {
    const std::string_view pair = rest.substr(0, rest.find('&'));
    rest.remove_prefix(std::min(pair.size() + 1, rest.size()));
    if (pair.empty()) continue;
    ++written;
    if (pair.front() == '=' || std::count(pair.begin(), pair.end(), '=') > 1)
      return bad("a parameter of the query has no name, or an '=' that must be written as %3D");
  }
  if (written > kQueryMax) return bad("the query holds more than 64 parameters");
  if (written != request.query.size()) return Fault{HttpFault::query_repeated, "a parameter is given twice"};
  return std::nullopt;
}

std::size_t count(const Request& request, std::string_view name) {
  return static_cast<std::size_t>(std::count_if(request.headers.begin(), request.headers.end(),
                                                [&](const NamedText& header) { return header.first == name; }));
}

std::optional<Fault> check_host(const Request& request) {
  if (count(request, "host") != 1) return bad("exactly one Host header is needed");
  const std::string_view host = *request.header("host");
  const bool plain = std::all_of(host.begin(), host.end(), [](char c) {
    return (is_token_char(c) || c == ':' || c == '[' || c == ']') && c != '%';
  });
  if (host.empty() || host.size() > 255 || !plain) return bad("the Host header is no host");
  return std::nullopt;
}

std::optional<Fault> check_framing(Request& request, bool old_version) {
  const std::size_t lengths = count(request, "content-length");
  const std::size_t codings = count(request, "transfer-encoding");
  if (lengths > 1) return bad("more than one Content-Length");
  if (codings > 1) return bad("more than one Transfer-Encoding");
  if (lengths == 1 && codings == 1) return bad("both Content-Length and Transfer-Encoding");
  if (lengths == 1) {
    const std::string_view text = *request.header("content-length");
    if (!is_digits(text) || text.size() > 18) return bad("Content-Length is no number of bytes");
    std::from_chars(text.data(), text.data() + text.size(), request.content_length);
  }
  if (codings == 1) {
    if (old_version || !same_text(*request.header("transfer-encoding"), "chunked"))
      return bad("Transfer-Encoding can only be chunked");
    request.chunked = true;
  }
  const bool reads_only = request.method == "GET" || request.method == "HEAD";
  if (reads_only && request.has_body()) return bad("a GET or HEAD request has no body");
  if (request.method == "POST" && lengths + codings == 0)
    return Fault{HttpFault::length_required, "a POST needs Content-Length or Transfer-Encoding: chunked"};
  return std::nullopt;
}

std::optional<Fault> check_connection(Request& request, bool old_version) {
  request.keep_alive = !old_version;
  for (const NamedText& header : request.headers) {
    if (header.first == "connection") {
      if (lower(header.second).find("close") != std::string::npos) request.keep_alive = false;
    } else if (header.first == "expect") {
      if (!same_text(header.second, "100-continue"))
        return Fault{HttpFault::expectation_failed, "only 100-continue can be expected"};
      request.expects_continue = !old_version;
    }
  }
  return std::nullopt;
}

// Absolute form (RFC 9112 3.2.2): the authority plays no part here.
bool take_path(Request& request) {
  for (const std::string_view scheme : {"http://", "https://"})
    if (same_text(std::string_view(request.path).substr(0, scheme.size()), scheme)) {
      const std::size_t slash = request.path.find('/', scheme.size());
      request.path = slash == std::string::npos ? "/" : request.path.substr(slash);
    }
  return request.path.starts_with('/');
}

}  // namespace

std::optional<Fault> check_head(Request& request, std::string_view target, std::string_view version) {
  if (auto fault = check_target(target)) return fault;
  if (!take_path(request)) return bad("the address must begin with '/'");
  if (request.headers.size() > kHeadersMax) return Fault{HttpFault::headers_too_large, "more than 100 headers"};
  for (const NamedText& header : request.headers)
    if (!is_token(header.first)) return bad("a header's name is no name directly followed by a colon");
  const bool old_version = version == "HTTP/1.0";
  if (auto fault = check_host(request)) return fault;
  if (auto fault = check_framing(request, old_version)) return fault;
  if (auto fault = check_connection(request, old_version)) return fault;
  return check_query(request, target);
}

}  // namespace agonic::server
