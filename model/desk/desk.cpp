#include "model/desk/desk.hpp"

#include "model/desk/parts.hpp"

namespace agonic::desk {

Result<Answer> work(Job job, const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request) {
  if (request.body.size() > kMostBytes)
    return Problem{Code::too_large,
                   {},
                   {},
                   "the document is longer than " + std::to_string(kMostBytes) + " bytes",
                   "Give it in parts"};
  switch (job) {
    case Job::traverse:
      return traverse(catalogue, grids, request);
    case Job::rotation:
      return rotation(catalogue, grids, request);
    case Job::swing:
      break;
  }
  return swing(catalogue, grids, request);
}

}  // namespace agonic::desk
