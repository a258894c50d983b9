// Records, reports and keys as people read them on a terminal.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace agonic::cli {

std::string list_text(const nlohmann::json& list);
std::string record_text(const nlohmann::json& record);
std::string report_text(const nlohmann::json& report);
std::string keys_text(const nlohmann::json& keys);

}  // namespace agonic::cli
