#include "server/log.hpp"

#include <spdlog/sinks/base_sink.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <array>
#include <condition_variable>
#include <cstdio>
#include <mutex>
#include <nlohmann/json.hpp>
#include <random>
#include <stop_token>
#include <thread>

#include "model/units/json_out.hpp"

namespace agonic::server {
namespace {

std::string line_of(const nlohmann::ordered_json& document) {
  return document.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

// Any token may be a method: only the registered ones are shown.
std::string_view known_method(std::string_view method) {
  constexpr std::array<std::string_view, 8> kKnown{"GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE"};
  return std::find(kKnown.begin(), kKnown.end(), method) != kKnown.end() ? method : "other";
}

// Lines are gathered and written together, a few times a second: a write a request would cost more than a lookup.
// What a killed process had not written is lost: at most kGather.
class StandardError final : public spdlog::sinks::base_sink<std::mutex> {
 public:
  StandardError() : writer_([this](const std::stop_token& stop) { write_now_and_then(stop); }) {}
  ~StandardError() override {
    writer_.request_stop();
    writer_.join();
    flush();
  }
  StandardError(const StandardError&) = delete;
  StandardError& operator=(const StandardError&) = delete;

 private:
  static constexpr std::chrono::milliseconds kGather{100};
  static constexpr std::size_t kMost = 64 * 1024;

  void sink_it_(const spdlog::details::log_msg& message) override {
    formatter_->format(message, gathered_);
    if (gathered_.size() > kMost) flush_();
  }
  void flush_() override {
    std::fwrite(gathered_.data(), 1, gathered_.size(), stderr);
    std::fflush(stderr);
    gathered_.clear();
  }
  void write_now_and_then(const std::stop_token& stop) {
    std::mutex waiting;
    std::condition_variable_any stopped;
    std::unique_lock lock(waiting);
    while (!stopped.wait_for(lock, stop, kGather, [&] { return stop.stop_requested(); })) flush();
  }

  spdlog::memory_buf_t gathered_;
  std::jthread writer_;  // last: it uses the rest
};

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

}  // namespace

Log::Log(std::shared_ptr<spdlog::sinks::sink> sink)
    : logger_(std::make_shared<spdlog::logger>("agonicd", std::move(sink))) {
  logger_->set_pattern("%v");
  logger_->set_level(spdlog::level::info);
}

Log::~Log() = default;

std::unique_ptr<Log> Log::to_standard_error() { return std::make_unique<Log>(std::make_shared<StandardError>()); }

void Log::request(const RequestEntry& entry) {
  // Nothing here needs escaping: ids as let through, methods and routes of our own tables.
  thread_local Text line;
  line.clear();
  JsonObject out(line);
  out.add("time", iso_time(entry.time)).add("request_id", entry.request_id).add("method", known_method(entry.method));
  out.add("route", entry.route).add_count("status", static_cast<std::uint64_t>(entry.status));
  out.add_count("bytes", entry.bytes).add("duration_s", entry.duration_s);
  if (entry.rows) out.add_count("rows", *entry.rows);
  out.end();
  logger_->info("{}", line.view());
}

void Log::event(std::string_view level, std::string_view text) {
  const nlohmann::ordered_json document{
      {"time", iso_time(std::chrono::system_clock::now())}, {"level", level}, {"event", text}};
  logger_->info("{}", line_of(document));
  logger_->flush();
}

bool accepted_request_id(std::string_view id) {
  if (id.empty() || id.size() > 64) return false;
  bool letter = false;
  for (std::size_t i = 0; i < id.size(); ++i) {
    if (!is_letter(id[i]) && !is_digit(id[i]) && id[i] != '.' && id[i] != '_' && id[i] != '-') return false;
    if (i > 0 && id[i - 1] == '.' && is_digit(id[i])) return false;
    letter = letter || is_letter(id[i]);
  }
  return letter;
}

std::string new_request_id() {
  thread_local std::mt19937_64 random{(static_cast<std::uint64_t>(std::random_device{}()) << 32) |
                                      std::random_device{}()};
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string id = "r";
  for (std::uint64_t bits = random(), i = 0; i < 16; ++i, bits >>= 4) id += kDigits[bits & 15];
  return id;
}

std::string iso_time(std::chrono::system_clock::time_point time) {
  using std::chrono::milliseconds;
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss clock(std::chrono::floor<milliseconds>(time - day));
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), clock.hours().count(),
                     clock.minutes().count(), clock.seconds().count(), clock.subseconds().count());
}

}  // namespace agonic::server
