// Every endpoint: one small function in a file of its own.
#pragma once

#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

Response page(Call& call);               ///< GET / and the files of the page
Response plain_page(Call& call);         ///< GET /plain
Response declination(Call& call);        ///< GET, POST /v1/declination
Response setting(Call& call);            ///< GET, POST /v1/setting
Response sun(Call& call);                ///< GET, POST /v1/sun
Response chart(Call& call);              ///< GET, POST /v1/chart
Response fit(Call& call);                ///< POST /v1/fit
Response correct(Call& call);            ///< POST /v1/correct
Response review(Call& call);             ///< POST /v1/review
Response traverse(Call& call);           ///< POST /v1/traverse
Response rotation(Call& call);           ///< POST /v1/rotation
Response swing(Call& call);              ///< POST /v1/swing
Response card(Call& call);               ///< GET, POST /v1/card
Response route(Call& call);              ///< POST /v1/route
Response models(Call& call);             ///< GET /v1/models
Response openapi(Call& call);            ///< GET /openapi.json
Response problems(Call& call);           ///< GET /problems/{word}
Response healthz(Call& call);            ///< GET /healthz, /livez: the process answers
Response readyz(Call& call);             ///< GET /readyz: it may be sent work
Response metrics(Call& call);            ///< GET /metrics
Response instruments(Call& call);        ///< GET /v1/instruments
Response create_instrument(Call& call);  ///< POST /v1/instruments
Response instrument_record(Call& call);  ///< GET /v1/instruments/{id}
Response change_instrument(Call& call);  ///< PUT /v1/instruments/{id}
Response add_index_error(Call& call);    ///< POST /v1/instruments/{id}/index-errors
Response add_setting(Call& call);        ///< POST /v1/instruments/{id}/settings
Response registry_dump(Call& call);      ///< GET /v1/registry/dump
Response registry_import(Call& call);    ///< POST /v1/registry/import
Response registry_report(Call& call);    ///< GET /v1/registry/report
Response registry_backup(Call& call);    ///< GET /v1/registry/backup
Response keys(Call& call);               ///< GET /v1/keys
Response add_key(Call& call);            ///< POST /v1/keys
Response revoke_key(Call& call);         ///< DELETE /v1/keys/{id}

}  // namespace agonic::server
