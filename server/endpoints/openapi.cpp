#include "server/caching.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/openapi_text.hpp"

namespace agonic::server {

Response openapi(Call& call) { return cached_text(call, openapi_text(), "application/json", "public, max-age=3600"); }

}  // namespace agonic::server
