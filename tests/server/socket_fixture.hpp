// A service on a free loopback port, with the stub engine, and requests as bytes.
#pragma once

#include <gtest/gtest.h>
#include <spdlog/sinks/null_sink.h>

#include <chrono>
#include <future>
#include <memory>
#include <string>
#include <thread>

#include "server/http/http_server.hpp"
#include "server/service.hpp"
#include "tests/server/client.hpp"
#include "tests/server/stub_engine.hpp"

namespace agonic::server {

using namespace std::chrono_literals;

inline int status_of(const std::string& response) {
  return response.starts_with("HTTP/1.1 ") ? std::stoi(response.substr(9, 3)) : 0;
}
inline std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
  return found;
}

class SocketTest : public testing::Test {
 protected:
  static Config small_config() {
    Config config;
    config.max_upload = 100'000;
    config.batches = 2;
    return config;
  }
  void SetUp() override { start(small_options()); }
  static HttpOptions small_options() {
    HttpOptions options;
    options.threads = 100;
    options.queue = 10;
    options.patience = {300ms, 600ms, 600ms, 600ms, 2048};
    options.drain = 3000ms;
    return options;
  }
  void start(const HttpOptions& options) {
    if (server) stop();
    server = std::make_unique<HttpServer>(
        options, HttpHandlers{[this](const Request& r, BodyReader& body) { return service.handle(r, body); },
                              [this](const Fault& fault) { return service.handle_fault(fault); },
                              [this] { return service.handle_busy(); }});
    port = server->bind("127.0.0.1", 0);
    ASSERT_GT(port, 0);
    running = std::async(std::launch::async, [this] { return server->run(); });
  }
  void stop() {
    server->stop();
    if (running.valid()) running.get();
  }
  void TearDown() override { stop(); }

  std::string ask(const std::string& bytes, bool end = false) {
    Client client(port);
    client.send(bytes);
    if (end) client.end();
    return client.rest();
  }
  static std::string get(const std::string& path, const std::string& headers = "Connection: close\r\n") {
    return "GET " + path + " HTTP/1.1\r\nHost: t\r\n" + headers + "\r\n";
  }
  static std::string post(const std::string& headers, const std::string& body) {
    return "POST /v1/correct HTTP/1.1\r\nHost: t\r\nContent-Type: text/csv\r\n" + headers + "\r\n" + body;
  }
  static std::string with_length(const std::string& body) {
    return post("Connection: close\r\nContent-Length: " + std::to_string(body.size()) + "\r\n", body);
  }
  /// Refused with this status, closed, and what follows is not run as a request.
  void expect_refused(int status, const std::string& bytes) {
    const std::string response = ask(bytes + get("/v1/models"));
    EXPECT_EQ(status_of(response), status) << bytes.substr(0, 200) << "\n-> " << response;
    EXPECT_EQ(count(response, "HTTP/1.1 "), 1u) << bytes.substr(0, 200);
    EXPECT_NE(response.find("Connection: close"), std::string::npos);
    EXPECT_NE(response.find("Content-Type: application/problem+json"), std::string::npos) << response;
    EXPECT_EQ(response.find("(timeout)"), std::string::npos) << bytes.substr(0, 200);
  }
  /// The slots of batches come back soon after a client has gone.
  void expect_all_slots_free() {
    for (int i = 0; i < 300 && service.batches.free() < 2; ++i) std::this_thread::sleep_for(10ms);
    EXPECT_EQ(service.batches.free(), 2u);
  }

  StubEngine engine;
  Log log{std::make_shared<spdlog::sinks::null_sink_mt>()};
  Service service{small_config(), engine, log, stub_time};
  std::unique_ptr<HttpServer> server;
  std::future<bool> running;
  int port = 0;
};

}  // namespace agonic::server
