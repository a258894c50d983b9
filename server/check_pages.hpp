// The catalogue of codes as pages that need no script: plain HTML with one style, light and dark, for a phone and
// paper.
#pragma once

#include <string>

#include "model/checks/catalogue.hpp"
#include "server/error_table.hpp"
#include "server/service.hpp"

namespace agonic::server {

std::string check_index_html();
std::string check_html(const checks::Entry& entry);
/// A problem's own page: its title and status, and what the catalogue says of it.
std::string problem_html(const ErrorKind& kind);

/// HTML where Accept wants it most, else JSON; with tag and lifetime.
Response html_or_json(const Call& call, const std::string& html, const std::string& json);

}  // namespace agonic::server
