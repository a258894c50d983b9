#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/registry_call.hpp"

namespace agonic::server {

Response add_index_error(Call& call) { return change_of(call, instrument::ChangeKind::index_error, false); }

}  // namespace agonic::server
