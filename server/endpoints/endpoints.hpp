// Every endpoint: one small function in a file of its own.
#pragma once

#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

Response page(Call& call);         ///< GET /
Response declination(Call& call);  ///< GET, POST /v1/declination
Response setting(Call& call);      ///< GET, POST /v1/setting
Response sun(Call& call);          ///< GET, POST /v1/sun
Response fit(Call& call);          ///< POST /v1/fit
Response correct(Call& call);      ///< POST /v1/correct
Response traverse(Call& call);     ///< POST /v1/traverse
Response rotation(Call& call);     ///< POST /v1/rotation
Response swing(Call& call);        ///< POST /v1/swing
Response models(Call& call);       ///< GET /v1/models
Response openapi(Call& call);      ///< GET /openapi.json
Response problems(Call& call);     ///< GET /problems/{word}
Response healthz(Call& call);      ///< GET /healthz, /livez: the process answers
Response readyz(Call& call);       ///< GET /readyz: it may be sent work
Response metrics(Call& call);      ///< GET /metrics

}  // namespace agonic::server
