#include "server/endpoints/document.hpp"
#include "server/endpoints/endpoints.hpp"

namespace agonic::server {

Response traverse(Call& call) { return answer_document(call, desk::Job::traverse); }

}  // namespace agonic::server
