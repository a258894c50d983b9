#include "server/caching.hpp"
#include "server/endpoints/endpoints.hpp"

namespace agonic::server {

Response models(Call& call) {
  return cached_text(call, call.service.engine.models(), "application/json", "public, max-age=300");
}

}  // namespace agonic::server
