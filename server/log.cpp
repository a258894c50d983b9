#include "server/log.hpp"

#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>
#include <random>

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

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

}  // namespace

Log::Log(std::shared_ptr<spdlog::sinks::sink> sink)
    : logger_(std::make_shared<spdlog::logger>("agonicd", std::move(sink))) {
  logger_->set_pattern("%v");
  logger_->set_level(spdlog::level::info);
  logger_->flush_on(spdlog::level::info);
}

Log::~Log() = default;

std::unique_ptr<Log> Log::to_standard_error() {
  return std::make_unique<Log>(std::make_shared<spdlog::sinks::stderr_sink_mt>());
}

void Log::request(const RequestEntry& entry) {
  nlohmann::ordered_json document{
      {"time", iso_time(entry.time)},  {"request_id", entry.request_id}, {"method", known_method(entry.method)},
      {"route", entry.route},          {"status", entry.status},         {"bytes", entry.bytes},
      {"duration_s", entry.duration_s}};
  if (entry.rows) document["rows"] = *entry.rows;
  logger_->info("{}", line_of(document));
}

void Log::event(std::string_view level, std::string_view text) {
  const nlohmann::ordered_json document{
      {"time", iso_time(std::chrono::system_clock::now())}, {"level", level}, {"event", text}};
  logger_->info("{}", line_of(document));
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
