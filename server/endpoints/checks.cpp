#include "server/endpoints/checks.hpp"

#include "server/check_pages.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {

Response check_index(Call& call) { return html_or_json(call, check_index_html(), checks::list_json()); }

Response check_page(Call& call) {
  if (const checks::Entry* entry = checks::find(call.name))
    return html_or_json(call, check_html(*entry), to_json(*entry));
  const std::string_view near = checks::nearest(call.name);
  return refuse(Problem{Code::not_found,
                        {},
                        {},
                        "there is no code of this name",
                        near.empty() ? "/checks lists them." : "Did you mean /checks/" + std::string(near) + "?"});
}

}  // namespace agonic::server
