#include "server/page_assets.hpp"

namespace agonic::server {

std::span<const PageAsset> page_assets() noexcept { return {}; }

}  // namespace agonic::server
