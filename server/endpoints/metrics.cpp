#include "server/endpoints/endpoints.hpp"

namespace agonic::server {

Response metrics(Call& call) {
  Response response;
  response.content_type = "application/openmetrics-text; version=1.0.0; charset=utf-8";
  response.body = call.service.metrics.text(call.service.engine.ready());
  return std::move(response.with("Cache-Control", "no-store"));
}

}  // namespace agonic::server
