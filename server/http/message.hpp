// A request and its response as the endpoints see them: nothing of the HTTP library shows here.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "model/units/problem.hpp"
#include "server/error_table.hpp"

namespace agonic::server {

using NamedText = std::pair<std::string, std::string>;

/// A request whose head has passed the checks (http/head_checks.hpp).
struct Request {
  std::string method;              ///< as sent, a token
  std::string path;                ///< percent-decoded, begins with '/'
  std::vector<NamedText> query;    ///< percent-decoded, in order, repeats kept
  std::vector<NamedText> headers;  ///< names in lower case
  bool keep_alive = true;          ///< what the client wants
  bool chunked = false;            ///< the body comes in chunks
  bool expects_continue = false;
  std::uint64_t content_length = 0;  ///< of the body as sent; 0 without one and for chunks

  /// The first header of this (lower-case) name.
  [[nodiscard]] std::optional<std::string_view> header(std::string_view name) const;
  [[nodiscard]] bool has_body() const { return chunked || content_length > 0; }
};

/// Why a request is refused before any endpoint sees it.
struct Fault {
  HttpFault kind = HttpFault::request_malformed;
  std::string detail;
};

/// How the reading of a body ended.
enum class BodyEnd {
  complete,
  stopped,    ///< the receiver wanted no more
  truncated,  ///< the client went away, or the compressed stream has no end
  malformed,  ///< broken chunks or compression
  too_large,  ///< over the limit, counted after inflation
  too_slow,
  unsupported  ///< a Content-Encoding other than gzip
};

/// The body of a request, piece by piece, inflated. Read once, on the request's thread.
class BodyReader {
 public:
  using Receiver = std::function<bool(std::string_view)>;
  virtual ~BodyReader() = default;
  /// @param limit bytes after inflation
  /// @param receiver takes a piece; false stops the reading
  virtual BodyEnd read(std::uint64_t limit, const Receiver& receiver) = 0;
};

/// A body too large for a string: its size is known, its bytes come in pieces.
class BodySource {
 public:
  virtual ~BodySource() = default;
  [[nodiscard]] virtual std::uint64_t size() const = 0;
  /// Every byte once, in order. False if the receiver stopped or the bytes could not be read back.
  virtual bool each(const std::function<bool(std::string_view)>& receiver) = 0;
};

/// A refusal, rendered as RFC 9457 problem+json when the request id is known.
struct Refusal {
  const ErrorKind* kind = nullptr;
  std::string detail;
  std::string field;
  std::string remedy;
};

struct Response {
  int status = 200;
  std::string content_type;
  std::vector<NamedText> headers;
  std::string body;
  std::shared_ptr<BodySource> source;  ///< in place of `body`
  std::optional<Refusal> refusal;      ///< in place of both
  bool close = false;                  ///< end the connection after this
  bool own_origin = false;             ///< no page of another origin may read it

  Response& with(std::string name, std::string value) {
    headers.emplace_back(std::move(name), std::move(value));
    return *this;
  }
};

/// Without regard to the case of letters, in ASCII.
bool same_text(std::string_view a, std::string_view b) noexcept;

}  // namespace agonic::server
