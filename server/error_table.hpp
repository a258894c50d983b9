// One table from every reason for a refusal to its HTTP status, title and explanation.
#pragma once

#include <span>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic::server {

/// Refusals that only HTTP knows; the model's are agonic::Code.
enum class HttpFault {
  request_malformed,
  request_timeout,
  not_acceptable,
  length_required,
  target_too_long,
  encoding_unsupported,
  expectation_failed,
  headers_too_large,
  version_unsupported,
  storage_full,
  upload_truncated,
  body_malformed,
  query_repeated,
  key_missing,
  not_allowed,
  version_stale,
  version_missing,
  already_exists,
  key_reused,
  in_progress,
  too_many_requests,
  registry_unavailable,
  not_supported,
};

/// A row of the table. `word` is public and stable: the problem's type is "/problems/" + word.
struct ErrorKind {
  std::string_view word;
  int status = 500;
  std::string_view title;
  std::string_view explanation;  ///< what it means and what helps, served at the type's address
};

std::span<const ErrorKind> error_table() noexcept;
/// Every Code and every HttpFault has its row; a missing one is a bug that a test catches.
const ErrorKind& error_kind(Code code) noexcept;
const ErrorKind& error_kind(HttpFault fault) noexcept;
/// Null for a word that is none.
const ErrorKind* error_kind(std::string_view word) noexcept;
std::string_view word(HttpFault fault) noexcept;

}  // namespace agonic::server
