#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"

namespace agonic::server {

Response add_setting(Call& call) { return change_of(call, instrument::ChangeKind::setting, false); }

}  // namespace agonic::server
