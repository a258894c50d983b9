// An engine of known answers, a clock that stands still, and a batch that counts lines.
#pragma once

#include <atomic>
#include <chrono>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

#include "server/engine.hpp"

namespace agonic::server {

/// Copies lines and counts them; "BAD" refuses a row, "STOP" the file, "HUGE" writes 1 MB.
class StubBatch : public exchange::BatchCorrector {
 public:
  explicit StubBatch(exchange::ByteSink& sink) : sink_(sink) {}
  std::optional<Problem> feed(std::string_view bytes) override {
    text_.append(bytes);
    for (std::size_t end = text_.find('\n'); end != std::string::npos; end = text_.find('\n')) {
      const std::string line = text_.substr(0, end);
      text_.erase(0, end + 1);
      if (line == "STOP")
        return Problem{Code::already_corrected, "azimuth_true", {}, "corrected before", "Use again=yes."};
      if (line == "THROW") throw std::runtime_error("secret 12.3456");
      ++summary_.rows;
      if (line == "BAD") {
        ++summary_.refused;
        summary_.first_refused.push_back(
            {summary_.rows, summary_.rows, {Code::not_a_number, "azimuth", "x", bad_text, {}}});
      }
      sink_.write(line == "HUGE" ? std::string(1 << 20, 'h') + '\n' : line + '\n');
    }
    return std::nullopt;
  }
  Result<exchange::Summary> finish() override {
    summary_.corrected = summary_.rows - summary_.refused;
    return summary_;
  }
  [[nodiscard]] std::uint64_t rows() const override { return summary_.rows; }

  std::string bad_text = "no number";

 private:
  exchange::ByteSink& sink_;
  std::string text_;
  exchange::Summary summary_;
};

class StubEngine : public Engine {
 public:
  Result<Answer> declination(const Parameters& parameters) override {
    ++calls;
    remember(parameters);
    if (slow.count() > 0) std::this_thread::sleep_for(slow);
    const std::string place(parameters.get("place").value_or(""));
    if (place == "91 0") return Problem{Code::place_out_of_range, "place", place, "latitude beyond 90", "Use -90..90."};
    if (place == "<script>\n\"")
      return Problem{Code::place_unreadable, "place", place, "not understood", "Use degrees."};
    if (place == "throw") throw std::runtime_error("secret 12.3456");
    return Answer{R"({"declination_deg":1.5})", parameters.get("date") == "today"};
  }
  Result<Answer> setting(const Parameters&) override { return Answer{R"({"set_to_deg":2})", false}; }
  Result<Answer> sun(const Parameters&) override { return Answer{R"({"azimuth_deg":3})", false}; }
  Result<Answer> chart(const Parameters& parameters, chart::Format format) override {
    ++calls;
    remember(parameters);
    return Answer{std::string(chart::media_type(format)), false};
  }
  Result<FitAnswer> fit(bool json, std::string_view body, const Parameters& parameters, std::string_view) override {
    remember(parameters);
    if (body == "bad") return Problem{Code::file_malformed, "header", {}, "the file is empty", "Send rows."};
    instrument::IndexError error;
    error.curve.a = 0.75;
    error.covariance = instrument::IndexCovariance::constant(0.25);
    error.span.from = std::chrono::year(2026) / 6 / 1;
    return FitAnswer{json ? R"({"from":"json"})" : R"({"from":"csv"})",
                     "words\n",
                     "all words\n",
                     3,
                     1,
                     1,
                     {{"", std::vector<instrument::Proposal>{{{}, "fitted", error}}}}};
  }
  std::string models() override { return R"({"models":[]})"; }
  Result<std::unique_ptr<exchange::BatchCorrector>> correct(const BatchRequest& batch,
                                                            exchange::ByteSink& sink) override {
    remember(batch.parameters);
    return std::unique_ptr<exchange::BatchCorrector>(std::make_unique<StubBatch>(sink));
  }
  Result<std::unique_ptr<review::Reviewer>> review(const BatchRequest& batch) override {
    remember(batch.parameters);
    return Problem{Code::columns_missing, "header", {}, "there is no column azimuth", "Add it."};
  }
  Result<desk::Answer> work(desk::Job, desk::Request request) override {
    ++calls;
    remember(request.parameters);
    if (request.body == "BAD") return Problem{Code::columns_missing, "fore", {}, "there is no column fore", "Add it."};
    return desk::Answer{std::string(desk::media_type(request.in)) + ">" + std::string(desk::media_type(request.out)),
                        R"({"rows":2,"refused":1})", "2 rows", 2, 1};
  }
  Result<route::Answer> route(route::Request request) override {
    ++calls;
    remember(request.parameters);
    if (request.body == "BAD")
      return Problem{Code::columns_missing, "place", {}, "there is no column place", "Add it."};
    return route::Answer{std::string(route::media_type(request.in)) + ">" + std::string(route::media_type(request.out)),
                         R"({"stops":3,"refused":1})", "3 stops", 3, 1};
  }
  Result<std::string> card(const Parameters& parameters, const instrument::Registry&, card::Format format) override {
    ++calls;
    remember(parameters);
    if (parameters.get("place") == "91 0")
      return Problem{Code::place_out_of_range, "place", "91 0", "latitude beyond 90", "Use -90..90."};
    return "card as " + std::string(card::media_type(format));
  }
  Result<std::string> route_card(route::Request request, const instrument::Registry&, card::Format format) override {
    ++calls;
    remember(request.parameters);
    return std::string(route::media_type(request.in)) + " card as " + std::string(card::media_type(format));
  }
  [[nodiscard]] bool ready() const override { return sound; }
  [[nodiscard]] std::string digest() const override { return digest_text; }

  std::atomic<int> calls = 0;
  Parameters last;
  bool sound = true;
  std::string digest_text = "d1";
  std::chrono::milliseconds slow{0};

 private:
  void remember(const Parameters& parameters) {
    const std::lock_guard lock(mutex_);
    last = parameters;
  }
  std::mutex mutex_;
};

/// 2026-03-01 23:59:30 UTC
inline std::chrono::system_clock::time_point stub_time() {
  using namespace std::chrono;
  return sys_days(year(2026) / March / 1) + hours(23) + minutes(59) + seconds(30);
}

}  // namespace agonic::server
