// A service over the stub engine with its log in memory, and requests made by hand.
#pragma once

#include <gtest/gtest.h>
#include <spdlog/sinks/ostream_sink.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "model/units/number.hpp"
#include "server/http/head_checks.hpp"
#include "server/service.hpp"
#include "tests/server/stub_engine.hpp"

namespace agonic::server {

class TextBody : public BodyReader {
 public:
  explicit TextBody(std::string text, BodyEnd end = BodyEnd::complete) : text_(std::move(text)), end_(end) {}
  BodyEnd read(std::uint64_t limit, const Receiver& receiver) override {
    if (text_.size() > limit) return BodyEnd::too_large;
    if (!text_.empty() && !receiver(text_)) return BodyEnd::stopped;
    return end_;
  }

 private:
  std::string text_;
  BodyEnd end_;
};

class ServiceTest : public testing::Test {
 protected:
  Response ask(const std::string& method, const std::string& target, std::vector<NamedText> headers = {},
               const std::string& text = {}, BodyEnd end = BodyEnd::complete) {
    headers.emplace_back("host", "test");
    if (method != "GET" && method != "HEAD") headers.emplace_back("content-length", std::to_string(text.size()));
    Request request = made(method, target, std::move(headers));
    if (const auto fault = check_head(request, target, "HTTP/1.1")) return service->handle_fault(*fault);
    TextBody body(text, end);
    return service->handle(request, body);
  }
  /// As the library would have read it.
  static Request made(const std::string& method, const std::string& target, std::vector<NamedText> headers = {}) {
    Request request;
    request.method = method;
    const std::size_t mark = target.find('?');
    request.path = decoded(target.substr(0, mark));
    std::istringstream query(mark == std::string::npos ? std::string() : target.substr(mark + 1));
    for (std::string pair; std::getline(query, pair, '&');) {
      const std::size_t equals = std::min(pair.find('='), pair.size());
      request.query.emplace_back(decoded(pair.substr(0, equals)),
                                 decoded(pair.substr(std::min(equals + 1, pair.size()))));
    }
    for (NamedText& header : headers) request.headers.emplace_back(lower(header.first), header.second);
    return request;
  }
  static std::string decoded(const std::string& text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == '%') {
        out += static_cast<char>(std::stoi(text.substr(i + 1, 2), nullptr, 16));
        i += 2;
      } else {
        out += text[i] == '+' ? ' ' : text[i];
      }
    }
    return out;
  }
  Response get(const std::string& target, std::vector<NamedText> headers = {}) {
    return ask("GET", target, std::move(headers));
  }
  Response post_json(const std::string& target, const std::string& text) {
    return ask("POST", target, {{"Content-Type", "application/json"}}, text);
  }
  Response post_csv(const std::string& target, const std::string& text, BodyEnd end = BodyEnd::complete) {
    return ask("POST", target, {{"Content-Type", "text/csv"}}, text, end);
  }

  static std::string header(const Response& response, std::string_view name) {
    for (const NamedText& header : response.headers)
      if (same_text(header.first, name)) return header.second;
    return {};
  }
  static std::string whole(const Response& response) {
    if (!response.source) return response.body;
    std::string text;
    response.source->each([&](std::string_view piece) {
      text += piece;
      return true;
    });
    return text;
  }
  static std::string problem_word(const Response& response) {
    if (response.content_type != "application/problem+json") return "no problem but " + response.content_type;
    const auto document = nlohmann::json::parse(response.body);
    EXPECT_EQ(document.at("status"), response.status);
    EXPECT_FALSE(document.at("title").get<std::string>().empty());
    EXPECT_FALSE(document.at("detail").get<std::string>().empty());
    return document.at("type").get<std::string>().substr(std::string("/problems/").size());
  }

  StubEngine engine;
  std::ostringstream log_text;
  Log log{std::make_shared<spdlog::sinks::ostream_sink_mt>(log_text)};
  Config config = [] {
    Config small;
    small.max_upload = 1000;
    small.max_result = 3 << 20;
    small.batches = 1;
    return small;
  }();
  std::unique_ptr<Service> service = std::make_unique<Service>(config, engine, log, stub_time);
};

}  // namespace agonic::server
