// The only file that knows the HTTP library (Debian's cpp-httplib 0.11.4).
//
// The library accepts connections, reads heads and bodies and writes responses. Three things are kept from it, since
// they cannot be cured through its settings: the socket (Connection has the deadlines and limits that it lacks, and
// closes after a fault), inflation (a cut stream would count as complete) and every header that it would act on by
// itself (Expect, Range, Accept-Encoding, Content-Type). Its regular expressions never see input: the path that it
// goes by is always "/".
//
// Its reader of chunks takes some that are not well formed: a size as 0x2 or followed by a blank, a line that ends
// without a carriage return. The proxy in front refuses those. Nothing behind a chunked body is read as a request.
#include "server/http/http_server.hpp"

#include <httplib.h>

#include <atomic>
#include <mutex>
#include <set>

#include "model/exchange/gzip.hpp"
#include "model/units/number.hpp"
#include "server/http/head_checks.hpp"
#include "server/http/worker_pool.hpp"

namespace agonic::server {
namespace {

constexpr int kBacklog = 4096;                 // the library's own 5 drops connections under load
constexpr std::size_t kLibraryLineMax = 8192;  // of a header, in the library
constexpr std::string_view kNoRequest = "GET / HTTP/1.1\r\n\r\n";

class LibraryStream : public httplib::Stream {
 public:
  explicit LibraryStream(Connection& connection) : connection_(connection) {}
  [[nodiscard]] bool is_readable() const override { return true; }
  [[nodiscard]] bool is_writable() const override { return true; }
  ssize_t read(char* to, size_t size) override { return connection_.read(to, size); }
  ssize_t write(const char* bytes, size_t size) override {
    return connection_.write({bytes, size}) ? static_cast<ssize_t>(size) : -1;
  }
  void get_remote_ip_and_port(std::string&, int&) const override {}
  void get_local_ip_and_port(std::string&, int&) const override {}
  [[nodiscard]] socket_t socket() const override { return INVALID_SOCKET; }

 private:
  Connection& connection_;
};

// One request and its answer, while the library works on them.
struct Exchange {
  Connection& connection;
  std::optional<Response> ready{};  // the answer, whatever the request
  Request request{};
  std::optional<Fault> fault{};
  bool body_done = true;  // nothing of the request is left unread
  bool answered = false;
  bool close = false;
};

// The one under way on this thread: the library's handlers have no other way to know.
thread_local Exchange* current = nullptr;

// What the library has read, checked. Its copy keeps only what frames the body.
void take_head(httplib::Request& in, Exchange& exchange) {
  Request& request = exchange.request;
  request.method = in.method;
  request.path = in.path;
  for (const auto& [name, value] : in.params) request.query.emplace_back(name, value);
  httplib::Headers framing;
  for (const auto& [name, value] : in.headers) {
    std::string small = lower(name);
    // The library adds these four to what was sent.
    if (small == "remote_addr" || small == "remote_port" || small == "local_addr" || small == "local_port") continue;
    if (small == "content-length" || small == "transfer-encoding") framing.emplace(name, value);
    request.headers.emplace_back(std::move(small), value);
  }
  exchange.fault = check_head(request, in.target, in.version);
  exchange.body_done = !request.has_body();
  in.headers = std::move(framing);
  in.ranges.clear();
  in.path = "/";
}

// Why the library gave up on a head.
Fault head_fault(const Connection& connection, int status, const std::string& version) {
  switch (connection.trouble()) {
    case Connection::Trouble::too_slow:
      return {HttpFault::request_timeout, "the head did not arrive in time"};
    case Connection::Trouble::head_too_long:
      return {HttpFault::headers_too_large, "the head is longer than 64 KiB"};
    case Connection::Trouble::gone:
      return {HttpFault::request_malformed, "the head has no end"};
    case Connection::Trouble::none:
      break;
  }
  if (status == 414) return {HttpFault::target_too_long, "the address is longer than 8000 bytes"};
  if (version.starts_with("HTTP/") && version != "HTTP/1.1" && version != "HTTP/1.0")
    return {HttpFault::version_unsupported, "this version of HTTP is not spoken here"};
  if (connection.head_bytes() > kLibraryLineMax) return {HttpFault::headers_too_large, "a header is longer than 8 KiB"};
  return {HttpFault::request_malformed, "the request line needs method, address, version"};
}

class LibraryBody : public BodyReader {
 public:
  /// @param reader null for a body that is not to be read
  LibraryBody(Exchange& exchange, const httplib::ContentReader* reader) : exchange_(exchange), reader_(reader) {}

  BodyEnd read(std::uint64_t limit, const Receiver& receiver) override {
    const Request& request = exchange_.request;
    const std::string_view coding = request.header("content-encoding").value_or("identity");
    const bool compressed = same_text(coding, "gzip");
    if (!compressed && !same_text(coding, "identity")) return BodyEnd::unsupported;
    if (!request.has_body()) return compressed ? BodyEnd::truncated : BodyEnd::complete;
    if (reader_ == nullptr) return BodyEnd::stopped;
    if (!compressed && request.content_length > limit) return BodyEnd::too_large;
    // Asked for only now, so that a refusal known from the head comes without the body.
    Connection& connection = exchange_.connection;
    if (request.expects_continue && !(connection.write("HTTP/1.1 100 Continue\r\n\r\n") && connection.flush()))
      return BodyEnd::truncated;

    connection.begin_body();
    std::uint64_t bytes = 0;
    BodyEnd inner = BodyEnd::complete;  // why the reading stopped, when the stopping came from within
    const Receiver counted = [&](std::string_view piece) {
      bytes += piece.size();
      inner = bytes > limit ? BodyEnd::too_large : receiver(piece) ? BodyEnd::complete : BodyEnd::stopped;
      return inner == BodyEnd::complete;
    };
    std::optional<exchange::Inflater> inflater;
    if (compressed) inflater.emplace();
    const bool whole = (*reader_)([&](const char* data, std::size_t size) {
      if (!inflater) return counted({data, size});
      const exchange::Inflater::Outcome outcome = inflater->feed({data, size}, counted);
      if (outcome == exchange::Inflater::Outcome::malformed) inner = BodyEnd::malformed;
      return outcome == exchange::Inflater::Outcome::ok;
    });
    if (inner != BodyEnd::complete) return inner;
    if (connection.trouble() == Connection::Trouble::too_slow) return BodyEnd::too_slow;
    if (connection.trouble() != Connection::Trouble::none) return BodyEnd::truncated;
    // A chunk without its line end counts as the last one for the library; the last one ends in an empty line.
    if (!whole || (request.chunked && !connection.body_ended_in_empty_line())) return BodyEnd::malformed;
    exchange_.body_done = !request.chunked;
    return inflater && !inflater->at_end() ? BodyEnd::truncated : BodyEnd::complete;
  }

 private:
  Exchange& exchange_;
  const httplib::ContentReader* reader_;
};

void set_body(const Response& response, httplib::Response& out) {
  if (!response.source) {
    out.body = response.body;
  } else if (response.source->size() > 0) {
    // Asked once: all of it goes out in that call.
    out.set_content_provider(
        response.source->size(), response.content_type,
        [source = response.source](std::size_t, std::size_t, httplib::DataSink& sink) {
          return source->each([&](std::string_view piece) { return sink.write(piece.data(), piece.size()); });
        });
  }
}

}  // namespace

class HttpServer::Impl : public httplib::Server {
 public:
  Impl(HttpOptions options, HttpHandlers handlers) : options_(options), handlers_(std::move(handlers)) {
    set_tcp_nodelay(true);  // before bind, or every answer waits for the client's acknowledgement
    set_socket_options([this](socket_t socket) {
      // SO_REUSEADDR alone: with SO_REUSEPORT, the library's default, two instances share a port silently.
      const int yes = 1;
      ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
      listening_ = socket;
    });
    set_read_timeout(std::chrono::duration_cast<std::chrono::microseconds>(options_.patience.step));
    set_write_timeout(std::chrono::duration_cast<std::chrono::microseconds>(options_.patience.step));
    set_keep_alive_timeout(std::max<time_t>(1, options_.patience.idle.count() / 1000));
    set_keep_alive_max_count(options_.keep_alive);
    new_task_queue = [this] { return new Queue(*this); };
    set_pre_routing_handler([this](const httplib::Request&, httplib::Response& out) { return before_body(out); });
    const auto with_body = [this](const httplib::Request&, httplib::Response& out,
                                  const httplib::ContentReader& reader) {
      LibraryBody body(*current, &reader);
      answer(handlers_.request(current->request, body), out);
    };
    Post("/", with_body);
    Put("/", with_body);
    Patch("/", with_body);
    set_error_handler(
        HandlerWithResponse([this](const httplib::Request& in, httplib::Response& out) { return refused(in, out); }));
    set_post_routing_handler([](const httplib::Request&, httplib::Response& out) {
      if (out.status == 204 || out.status == 304) out.headers.erase("Content-Length");
      out.headers.erase("Accept-Ranges");  // Range is ignored
      if (!current->close) return;
      out.headers.erase("Keep-Alive");
      out.headers.erase("Connection");
      out.headers.emplace("Connection", "close");
    });
    set_exception_handler([](const httplib::Request&, httplib::Response& out, const std::exception_ptr&) {
      out.headers.clear();
      out.status = 500;
      current->answered = current->close = true;
    });
  }

  int open(const std::string& host, int port) {
    int bound = port;
    if (port == 0) {
      bound = bind_to_any_port(host);
    } else if (!bind_to_port(host, port)) {
      bound = 0;
    }
    if (bound <= 0) return 0;
    ::listen(listening_, kBacklog);
    return bound;
  }

  void halt() {
    if (stopping_.exchange(true)) return;
    // Not the library's stop(): that cuts long responses, and is forgotten if it comes before the loop has begun.
    // This ends the wait for connections, and nothing else.
    ::shutdown(listening_, SHUT_RDWR);
  }

  bool serve() {
    const bool fine = listen_after_bind();
    return fine || stopping_;
  }

 private:
  // The library's interface to a pool of threads.
  class Queue : public httplib::TaskQueue {
   public:
    explicit Queue(Impl& server) : server_(server), pool_(server.options_.threads, server.options_.queue) {}
    void enqueue(std::function<void()> job) override { pool_.enqueue(std::move(job)); }
    void shutdown() override {
      pool_.shutdown(server_.options_.drain, [this] { server_.cut_all(); });
    }

   private:
    Impl& server_;
    WorkerPool pool_;
  };

  // With the head read: whatever needs no body is answered here.
  HandlerResponse before_body(httplib::Response& out) {
    Exchange& exchange = *current;
    const std::string& method = exchange.request.method;
    if (exchange.ready) {
      answer(*exchange.ready, out);
    } else if (exchange.fault) {
      exchange.close = true;
      answer(handlers_.fault(*exchange.fault), out);
    } else if (exchange.request.has_body() && (method == "POST" || method == "PUT" || method == "PATCH")) {
      return HandlerResponse::Unhandled;
    } else {
      LibraryBody none(exchange, nullptr);
      answer(handlers_.request(exchange.request, none), out);
    }
    return HandlerResponse::Handled;
  }

  // The library's own refusals, which come before any handler.
  HandlerResponse refused(const httplib::Request& in, httplib::Response& out) {
    Exchange& exchange = *current;
    if (exchange.answered) return HandlerResponse::Unhandled;
    if (out.status == 416) {
      // A Range that it cannot read: ignored like any other (RFC 9110 14.2). The object is not const, and what is in
      // it would otherwise still be obeyed.
      take_head(const_cast<httplib::Request&>(in), exchange);
      if (exchange.request.has_body() && !exchange.fault)
        exchange.fault = Fault{HttpFault::request_malformed, "the Range header cannot be read"};
      return before_body(out);
    }
    exchange.fault = head_fault(exchange.connection, out.status, in.version);
    return before_body(out);
  }

  void answer(const Response& response, httplib::Response& out) {
    Exchange& exchange = *current;
    exchange.answered = true;
    exchange.close = exchange.close || response.close || !exchange.request.keep_alive || !exchange.body_done ||
                     exchange.request.chunked || stopping_;
    set_body(response, out);
    out.status = response.status;
    out.headers.clear();
    for (const NamedText& header : response.headers) out.headers.emplace(header.first, header.second);
  }

  bool process(Exchange& exchange) {
    LibraryStream stream(exchange.connection);
    bool closed = false;
    current = &exchange;
    const bool fine = process_request(stream, false, closed, [&](httplib::Request& in) {
      if (!exchange.ready) take_head(in, exchange);
    });
    current = nullptr;
    return exchange.connection.flush() && fine;
  }

  // An answer without a request: the library has to read one all the same.
  void say(Connection& connection, Response response) {
    connection.begin_with(kNoRequest);
    Exchange exchange{connection};
    exchange.ready = std::move(response);
    exchange.close = true;
    process(exchange);
  }

  bool process_and_close_socket(socket_t socket) override {
    remember(socket);
    Connection connection(socket, options_.patience);
    if (WorkerPool::turning_away()) {
      say(connection, handlers_.busy());
      // Nothing is waited for here: this thread has many more to turn away.
      ::shutdown(socket, SHUT_WR);
      char unread[4096];
      while (::recv(socket, unread, sizeof unread, MSG_DONTWAIT) > 0) {
      }
    } else {
      converse(connection);
    }
    forget(socket);
    ::shutdown(socket, SHUT_RDWR);
    ::close(socket);
    return true;
  }

  void converse(Connection& connection) {
    for (std::size_t count = 1; count <= options_.keep_alive; ++count) {
      if (!connection.wait_for_request([this] { return stopping_.load(); })) return;
      Exchange exchange{connection};
      exchange.close = count == options_.keep_alive;
      const bool fine = process(exchange);
      if (!exchange.answered && connection.trouble() != Connection::Trouble::gone) {
        // The library says nothing where not even the first line has come.
        say(connection, handlers_.fault(head_fault(connection, 0, {})));
        exchange.close = true;
      } else if (!fine) {
        return;
      }
      if (exchange.close) {
        connection.finish();
        return;
      }
    }
  }

  void remember(socket_t socket) {
    const std::lock_guard lock(live_mutex_);
    live_.insert(socket);
  }
  void forget(socket_t socket) {
    const std::lock_guard lock(live_mutex_);
    live_.erase(socket);
  }
  void cut_all() {
    const std::lock_guard lock(live_mutex_);
    for (const socket_t socket : live_) ::shutdown(socket, SHUT_RDWR);
  }

  const HttpOptions options_;
  const HttpHandlers handlers_;
  socket_t listening_ = INVALID_SOCKET;
  std::atomic<bool> stopping_ = false;
  std::mutex live_mutex_;
  std::set<socket_t> live_;
};

HttpServer::HttpServer(HttpOptions options, HttpHandlers handlers)
    : impl_(std::make_unique<Impl>(options, std::move(handlers))) {}
HttpServer::~HttpServer() = default;
int HttpServer::bind(const std::string& host, int port) { return impl_->open(host, port); }
bool HttpServer::run() { return impl_->serve(); }
void HttpServer::stop() { impl_->halt(); }

}  // namespace agonic::server
