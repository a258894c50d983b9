#include <nlohmann/json.hpp>

#include "server/check_pages.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {

Response problems(Call& call) {
  const std::string_view word = std::string_view(call.request.path).substr(std::string_view("/problems/").size());
  const ErrorKind* kind = error_kind(word);
  if (kind == nullptr)
    return refuse(Problem{Code::not_found, {}, {}, "there is no problem of this name", "See /openapi.json."});
  const nlohmann::ordered_json document{{"type", "/problems/" + std::string(kind->word)},
                                        {"title", kind->title},
                                        {"status", kind->status},
                                        {"explanation", kind->explanation},
                                        {"check", "/checks/" + std::string(kind->word)}};
  return html_or_json(call, problem_html(*kind), document.dump());
}

}  // namespace agonic::server
