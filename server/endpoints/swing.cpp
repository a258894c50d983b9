#include "server/endpoints/document.hpp"
#include "server/endpoints/endpoints.hpp"

namespace agonic::server {

Response swing(Call& call) { return answer_document(call, desk::Job::swing); }

}  // namespace agonic::server
