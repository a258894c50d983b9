// What the registry's endpoints have in common: who asks, shares, small bodies, failures of the store as answers.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <variant>

#include "server/registry/access.hpp"
#include "server/registry/registry.hpp"
#include "server/service.hpp"

namespace agonic::server {

inline constexpr std::size_t kImportMax = 8 << 20;  ///< bytes of a dump to import

/// Runs `work` for whoever may, and puts on its answer what all of them carry: no-store, RateLimit.
Response registry_call(Call& call, registry::Need need,
                       const std::function<Response(registry::Registry&, const registry::Principal&)>& work);

/// The instruments that a batch of this caller may use; never null. Where the caller may see none, each row that names
/// one is told why, and the other rows go on.
std::shared_ptr<const instrument::Registry> instruments_for(const Call& call);

/// A JSON answer. Bytes that are no UTF-8 do not occur: they were refused when they came.
Response registry_json(int status, std::string json);

/// A problem of the model's JSON edge: what is no JSON is a malformed body here, not a file.
Response refuse_body(const Problem& problem);
/// The same for every id that the team does not have, whoever else has it.
Response no_such_instrument();
/// The answer to a change.
Response answer_of(registry::Outcome outcome);

/// The change that the body proposes and how it may be repeated, or a refusal.
struct Asked {
  instrument::Proposal proposal;
  registry::Repeatable repeatable;
};
std::variant<Asked, Response> asked(Call& call, instrument::ChangeKind kind, bool with_id);

/// Query parameters by name; a refusal for others.
std::variant<Parameters, Response> known_query(const Call& call, std::initializer_list<std::string_view> known);

/// A change to the instrument in the path. @param needs_version If-Match must be there
Response change_of(Call& call, instrument::ChangeKind kind, bool needs_version);

}  // namespace agonic::server
