// The files of the page, compiled in. Data only; written by the build of clients/web, or none at all
// (AGONIC_PAGE=OFF), and then the plain page is served.
#pragma once

#include <span>
#include <string_view>

namespace agonic::server {

struct PageAsset {
  std::string_view path;  ///< as asked for: "/", "/assets/main-ABC.js"
  std::string_view type;  ///< Content-Type
  std::string_view tag;   ///< entity tag, quoted
  bool immutable;         ///< its name carries its hash
  std::string_view plain, gzip, brotli;
};

std::span<const PageAsset> page_assets() noexcept;

}  // namespace agonic::server
