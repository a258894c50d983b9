#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/lookup.hpp"

namespace agonic::server {

Response sun(Call& call) { return answer_lookup(call, &Engine::sun); }

}  // namespace agonic::server
