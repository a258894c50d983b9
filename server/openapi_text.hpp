// openapi.json, compiled in.
#pragma once

#include <string_view>

namespace agonic::server {

std::string_view openapi_text() noexcept;

}  // namespace agonic::server
