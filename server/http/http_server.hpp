// The listening socket and the life of its connections. The HTTP library stays behind http_server.cpp.
#pragma once

#include <chrono>
#include <cstddef>
#include <functional>
#include <memory>
#include <string>

#include "server/http/connection.hpp"
#include "server/http/message.hpp"

namespace agonic::server {

struct HttpOptions {
  std::size_t threads = 600;
  std::size_t queue = 1000;         ///< connections waiting for a thread; beyond: 503
  std::size_t keep_alive = 100000;  ///< requests on one connection
  Patience patience;
  std::chrono::milliseconds drain{30000};  ///< after stop(): how long requests in flight may take
};

/// What answers. Both are called from many threads at once and must not throw.
struct HttpHandlers {
  std::function<Response(const Request&, BodyReader&)> request;
  std::function<Response(const Fault&)> fault;  ///< a head that is refused
  std::function<Response()> busy;               ///< no thread left; must be quick
};

class HttpServer {
 public:
  HttpServer(HttpOptions options, HttpHandlers handlers);
  ~HttpServer();

  /// @param port 0: any free one. @return the port, or 0 if it cannot be had (in use, no such address)
  int bind(const std::string& host, int port);
  /// Serves until stop(), then finishes what is in flight. False if the socket failed.
  bool run();
  /// From any thread: stop accepting, let run() return.
  void stop();

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace agonic::server
