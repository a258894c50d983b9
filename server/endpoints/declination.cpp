#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/lookup.hpp"

namespace agonic::server {

Response declination(Call& call) { return answer_lookup(call, &Engine::declination); }

}  // namespace agonic::server
