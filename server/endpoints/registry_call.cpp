#include "server/endpoints/registry_call.hpp"

#include <algorithm>
#include <charconv>
#include <optional>

#include "model/units/number.hpp"
#include "server/digest.hpp"
#include "server/parameters.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

using registry::Outcome;
using registry::StoreFailure;

constexpr int kRetryAfter = 2;  // seconds: a store that is away is asked again each second

Response refuse_failure(const StoreFailure& failure) {
  switch (failure.kind()) {
    case StoreFailure::Kind::full: {
      Response response = refuse(HttpFault::storage_full, failure.what());
      response.refusal->remedy = "Nothing was changed. Reads and lookups go on; try again when there is space.";
      return response;
    }
    case StoreFailure::Kind::unsupported: {
      Response response = refuse(HttpFault::not_supported, failure.what());
      response.refusal->remedy = "Run pg_dump on the registry's database.";
      return response;
    }
    case StoreFailure::Kind::damaged: {
      Response response = refuse(HttpFault::registry_unavailable, failure.what());
      response.refusal->remedy = "Lookups go on. The operator restores a backup: agonicd --restore FILE";
      return response;
    }
    case StoreFailure::Kind::gone:
      break;
  }
  Response response = refuse(HttpFault::registry_unavailable, failure.what());
  return std::move(response.with("Retry-After", std::to_string(kRetryAfter)));
}

void put_share(Response& response, unsigned quota, const registry::RateLimit::Share& share) {
  response.with("RateLimit-Policy", "\"default\";q=" + std::to_string(quota) + ";w=60")
      .with("RateLimit", "\"default\";r=" + std::to_string(share.left) + ";t=" + std::to_string(share.refilled_in_s));
}

Response within_share(Call& call, registry::Need need,
                      const std::function<Response(registry::Registry&, const registry::Principal&)>& work) {
  auto found = registry::identify(call, need);
  if (auto* refusal = std::get_if<Response>(&found)) return std::move(*refusal);
  const auto& principal = std::get<registry::Principal>(found);
  const auto share = call.service.shares.take(principal.bucket, std::chrono::steady_clock::now());
  Response response = [&] {
    if (share.granted) return work(*call.service.instruments.registry, principal);
    Response refusal = refuse(HttpFault::too_many_requests, "this key has used up its share of calls");
    return std::move(refusal.with("Retry-After", std::to_string(share.retry_in_s)));
  }();
  put_share(response, call.service.shares.quota(), share);
  return response;
}

// In place of a registry that is closed to the caller.
class ClosedRegistry final : public instrument::Registry {
 public:
  ClosedRegistry(std::string why, std::string remedy) : why_(std::move(why)), remedy_(std::move(remedy)) {}
  [[nodiscard]] Result<registry::RecordPointer> find(std::string_view id) const override {
    return Problem{Code::instrument_unknown, "instrument", std::string(id), why_, remedy_};
  }

 private:
  const std::string why_, remedy_;
};

// "v7" of If-Match; 0 for one that can match nothing. `*` matches whatever stands (RFC 9110 13.1.1).
struct Expected {
  bool given = false;
  std::optional<int> version;
};
Expected expected_of(const Request& request) {
  const auto header = request.header("if-match");
  if (!header) return {};
  const std::string_view text = trim(*header);
  if (text == "*") return {true, std::nullopt};
  int version = 0;
  if (text.size() > 3 && text.starts_with("\"v") && text.ends_with('"')) {
    const auto [end, error] = std::from_chars(text.data() + 2, text.data() + text.size() - 1, version);
    if (error != std::errc() || end != text.data() + text.size() - 1) version = 0;
  }
  return {true, version};
}

}  // namespace

Response registry_call(Call& call, registry::Need need,
                       const std::function<Response(registry::Registry&, const registry::Principal&)>& work) {
  Response response = [&] {
    try {
      return within_share(call, need, work);
    } catch (const StoreFailure& failure) {
      return refuse_failure(failure);
    }
  }();
  response.own_origin = true;
  if (!response.refusal) response.with("Cache-Control", "no-store");  // a refusal gets it anyway
  return response;
}

std::shared_ptr<const instrument::Registry> instruments_for(const Call& call) {
  try {
    const auto found = registry::identify(call, registry::Need::read);
    if (const auto* principal = std::get_if<registry::Principal>(&found))
      return call.service.instruments.registry->of_team(principal->team);
    const Refusal& refusal = *std::get<Response>(found).refusal;
    return std::make_shared<ClosedRegistry>(refusal.detail, refusal.remedy);
  } catch (const StoreFailure& failure) {
    return std::make_shared<ClosedRegistry>(failure.what(), "Try again later, or give its index errors in columns");
  }
}

Response registry_json(int status, std::string json) {
  Response response;
  response.status = status;
  response.content_type = "application/json";
  response.body = std::move(json);
  return response;
}

Response refuse_body(const Problem& problem) {
  if (problem.code != Code::file_malformed) return refuse(problem);
  Response response = refuse(HttpFault::body_malformed, problem.message);
  response.refusal->remedy = problem.remedy.empty() ? "See /openapi.json." : problem.remedy;
  return response;
}

Response no_such_instrument() {
  return refuse(Problem{
      Code::not_found, {}, {}, "there is no instrument of this id", "GET /v1/instruments lists those of your team."});
}

Response answer_of(Outcome outcome) {
  switch (outcome.kind) {
    case Outcome::Kind::done:
    case Outcome::Kind::replayed: {
      Response response = registry_json(outcome.status, std::move(outcome.body));
      response.with("ETag", outcome.etag);
      if (outcome.kind == Outcome::Kind::replayed) response.with("Idempotency-Replayed", "true");
      return response;
    }
    case Outcome::Kind::exists:
      return refuse(HttpFault::already_exists, "your team has an instrument of this id", "id");
    case Outcome::Kind::missing:
      return no_such_instrument();
    case Outcome::Kind::stale:
      return std::move(
          refuse(HttpFault::version_stale, "it has been changed since the version named in If-Match", "If-Match")
              .with("ETag", outcome.etag));
    case Outcome::Kind::reused:
      return refuse(HttpFault::key_reused, "this Idempotency-Key came with another request before", "Idempotency-Key");
    case Outcome::Kind::in_flight:
      return std::move(
          refuse(HttpFault::in_progress, "a request with this Idempotency-Key is being worked on", "Idempotency-Key")
              .with("Retry-After", "1"));
    case Outcome::Kind::refused:
      break;
  }
  return refuse_body(*outcome.problem);
}

std::variant<Parameters, Response> known_query(const Call& call, std::initializer_list<std::string_view> known) {
  Parameters parameters;
  if (auto refusal = add_query(call.request, parameters)) return std::move(*refusal);
  if (auto problem = parameters.unknown(known)) return refuse(*problem);
  return parameters;
}

std::variant<Asked, Response> asked(Call& call, instrument::ChangeKind kind, bool with_id) {
  auto query = known_query(call, {});
  if (auto* refusal = std::get_if<Response>(&query)) return std::move(*refusal);
  auto body = read_json_body(call.request, call.body, kSmallBodyMax);
  if (auto* refusal = std::get_if<Response>(&body)) return std::move(*refusal);
  const auto& text = std::get<std::string>(body);
  const auto today = std::chrono::floor<std::chrono::days>(call.service.now());
  auto proposal = instrument::read_proposal(kind, text, with_id, today);
  if (!proposal) return refuse_body(proposal.problem());
  registry::Repeatable repeatable;
  if (const auto key = call.request.header("idempotency-key")) {
    const bool plain = !key->empty() && key->size() <= 200 &&
                       std::all_of(key->begin(), key->end(), [](char c) { return c > ' ' && c < '\x7f'; });
    if (!plain)
      return refuse(Problem{Code::out_of_range, "Idempotency-Key", {}, "it is 1 to 200 visible ASCII characters", {}});
    const std::string version(call.request.header("if-match").value_or(""));
    repeatable = {std::string(*key),
                  sha256_hex(call.request.method + '\n' + call.request.path + '\n' + version + '\n' + text)};
  }
  return Asked{std::move(proposal).value(), std::move(repeatable)};
}

Response change_of(Call& call, instrument::ChangeKind kind, bool needs_version) {
  return registry_call(call, registry::Need::write, [&](registry::Registry& all, const registry::Principal& principal) {
    // Before anything of the request is judged, so that every call on an id that is not there looks alike.
    if (!all.find(principal.team, call.name)) return no_such_instrument();
    const Expected expected = expected_of(call.request);
    if (needs_version && !expected.given)
      return refuse(HttpFault::version_missing, "which version is to be changed is not said", "If-Match");
    auto found = asked(call, kind, false);
    if (auto* refusal = std::get_if<Response>(&found)) return std::move(*refusal);
    const auto& [proposal, repeatable] = std::get<Asked>(found);
    return answer_of(all.change({principal.team, principal.who}, call.name, proposal, expected.version, repeatable));
  });
}

}  // namespace agonic::server
