#include "server/service.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <thread>

#include "server/problem_response.hpp"
#include "server/routes.hpp"

namespace agonic::server {
namespace {

std::size_t cores() { return std::max<std::size_t>(1, std::thread::hardware_concurrency()); }

// RFC 9110 5.6.7, in any locale.
std::string format_http_date(std::chrono::system_clock::time_point time) {
  constexpr std::array<const char*, 7> kDays{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  constexpr std::array<const char*, 12> kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss clock(std::chrono::floor<std::chrono::seconds>(time - day));
  return fmt::format("{}, {:02} {} {:04} {:02}:{:02}:{:02} GMT", kDays[std::chrono::weekday(day).c_encoding()],
                     static_cast<unsigned>(date.day()), kMonths[static_cast<unsigned>(date.month()) - 1],
                     static_cast<int>(date.year()), clock.hours().count(), clock.minutes().count(),
                     clock.seconds().count());
}

// The same text all through a second.
const std::string& http_date(std::chrono::system_clock::time_point time) {
  thread_local std::chrono::sys_seconds second{};
  thread_local std::string text;
  const auto now = std::chrono::floor<std::chrono::seconds>(time);
  if (now != second || text.empty()) {
    text = format_http_date(now);
    second = now;
  }
  return text;
}

std::string request_id_of(const Request& request) {
  const std::optional<std::string_view> given = request.header("x-request-id");
  return given && accepted_request_id(*given) ? std::string(*given) : new_request_id();
}

}  // namespace

Service::Service(Config settings, Engine& the_engine, Log& log, Clock clock, RegistryAccess access)
    : config(std::move(settings)),
      engine(the_engine),
      now(std::move(clock)),
      instruments(std::move(access)),
      shares(config.registry_rate),
      lookups(config.lookups > 0 ? config.lookups : 2 * cores()),
      batches(config.batches),
      documents(cores()),
      log_(log) {}

Response Service::route(Call& call, std::string_view& label) {
  const Request& request = call.request;
  const PathEntry* entry = find_path(request.path);
  if (entry == nullptr)
    return refuse(Problem{Code::not_found, {}, {}, "there is nothing at this address", "See /openapi.json."});
  label = entry->label;
  const bool head = request.method == "HEAD";
  call.name = name_in_path(*entry, request.path);
  const Endpoint endpoint = head || request.method == "GET" ? entry->get
                            : request.method == "POST"      ? entry->post
                            : request.method == "PUT"       ? entry->put
                            : request.method == "DELETE"    ? entry->erase
                                                            : nullptr;
  if (endpoint != nullptr) return endpoint(call);
  if (request.method == "OPTIONS") return preflight(*entry);
  return std::move(refuse(Problem{Code::method_not_allowed,
                                  {},
                                  {},
                                  "this address does not take that method",
                                  "It takes " + allowed_methods(*entry) + "."})
                       .with("Allow", allowed_methods(*entry)));
}

Response Service::finish(Response response, std::string_view method, const std::string& request_id) const {
  if (response.refusal) {
    response.body = problem_json(*response.refusal, request_id);
    response.content_type = "application/problem+json";
    response.with("Cache-Control", "no-store");
  }
  if (!response.content_type.empty()) response.with("Content-Type", response.content_type);
  response.with("X-Request-Id", request_id)
      .with("X-Content-Type-Options", "nosniff")
      .with("Date", http_date(std::chrono::system_clock::now()));
  if ((method == "GET" || method == "HEAD") && !response.own_origin)
    response.with("Access-Control-Allow-Origin", "*")
        .with("Access-Control-Expose-Headers", "ETag, Retry-After, X-Request-Id");
  if (draining_) response.close = true;
  return response;
}

template <class Answer>
Response Service::accounted(std::string_view method, const std::string& request_id, const Answer& answer) noexcept {
  const auto started = std::chrono::steady_clock::now();
  RequestEntry entry;
  entry.time = now();
  entry.request_id = request_id;
  entry.method = method;
  entry.route = "none";
  metrics.begin();
  Response response;
  try {
    response = answer(entry);
  } catch (...) {
    // The text of an exception may hold input: it is neither sent nor logged.
    response = refuse(Problem{Code::internal, {}, {}, "something went wrong inside the service", {}});
  }
  response = finish(std::move(response), method, request_id);
  entry.status = response.status;
  entry.bytes = response.source ? response.source->size() : response.body.size();
  entry.duration_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  metrics.end(entry.route, entry.status, entry.duration_s);
  log_.request(entry);
  return response;
}

Response Service::handle(const Request& request, BodyReader& body) noexcept {
  return accounted(request.method, request_id_of(request), [&](RequestEntry& entry) {
    Call call{*this, request, body, std::string(entry.request_id), {}, 0, {}};
    Response response = route(call, entry.route);
    entry.rows = call.rows;
    if (call.rows) metrics.rows(*call.rows, call.rows_refused);
    return response;
  });
}

Response Service::handle_fault(const Fault& fault) noexcept {
  return accounted("none", new_request_id(), [&](RequestEntry&) {
    Response response = refuse(fault.kind, fault.detail);
    response.close = true;
    return response;
  });
}

Response Service::handle_busy() noexcept {
  return accounted("none", new_request_id(), [&](RequestEntry&) {
    Response response = refuse_busy("all connections of the service are taken", 2);
    response.close = true;
    return response;
  });
}

}  // namespace agonic::server
