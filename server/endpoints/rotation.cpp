#include "server/endpoints/document.hpp"
#include "server/endpoints/endpoints.hpp"

namespace agonic::server {

Response rotation(Call& call) { return answer_document(call, desk::Job::rotation); }

}  // namespace agonic::server
