// Which format a batch comes in and goes out as.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "model/exchange/batch.hpp"

namespace agonic::server {

/// The formats' media types, for Accept-Post and messages.
inline constexpr std::string_view kBatchTypes =
    "text/csv, application/json, application/x-ndjson, application/geo+json";

/// The format that Accept (RFC 9110 12.5.1) wants most; `own`, that of the input, wins among equals.
/// Nothing if none is acceptable.
std::optional<exchange::Format> negotiate(std::string_view accept, exchange::Format own);

/// Does Accept-Encoding (RFC 9110 12.5.3) take gzip? Only where it says so: an absent header means the plain bytes.
bool accepts_gzip(std::string_view accept_encoding);
/// The same for any coding, in lower case.
bool accepts_coding(std::string_view accept_encoding, std::string_view coding);

/// The media type among `types` that Accept wants most, by its place; the first wins among equals.
std::optional<std::size_t> negotiate(std::string_view accept, std::span<const std::string_view> types);

/// The Content-Type of a result.
std::string_view content_type(exchange::Format format) noexcept;

}  // namespace agonic::server
