#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/lookup.hpp"

namespace agonic::server {

Response setting(Call& call) { return answer_lookup(call, &Engine::setting); }

}  // namespace agonic::server
