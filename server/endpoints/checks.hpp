// The catalogue of codes.
#pragma once

#include "server/http/message.hpp"
#include "server/service.hpp"

namespace agonic::server {

Response check_index(Call& call);  ///< GET /checks
Response check_page(Call& call);   ///< GET /checks/{code}

}  // namespace agonic::server
