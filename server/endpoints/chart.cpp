#include <algorithm>
#include <array>

#include "server/endpoints/endpoints.hpp"
#include "server/endpoints/lookup.hpp"
#include "server/negotiation.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

constexpr std::chrono::milliseconds kWaitForSlot{500};  // a chart takes some hundredths of a second, a picture tenths

std::string content_type(chart::Format format) {
  const std::string type(chart::media_type(format));
  return format == chart::Format::csv ? type + "; charset=utf-8; header=present" : type;
}

}  // namespace

Response chart(Call& call) {
  using chart::Format;
  Parameters parameters;
  if (auto refusal = read_parameters(call, parameters)) return std::move(*refusal);
  Format format = Format::geojson;
  if (const auto wanted = parameters.get("f")) {
    const auto told = chart::format_of_name(*wanted);
    if (!told)
      return refuse(Problem{Code::unknown_name, "f", std::string(*wanted), "no such format",
                            "Use geojson, coveragejson, csv, svg or png."});
    format = *told;
  } else {
    constexpr std::array kFormats{Format::geojson, Format::coverage, Format::csv, Format::svg, Format::png};
    std::array<std::string_view, kFormats.size()> types;
    std::transform(kFormats.begin(), kFormats.end(), types.begin(), chart::media_type);
    const auto chosen = negotiate(call.request.header("accept").value_or(""), types);
    if (!chosen)
      return refuse(HttpFault::not_acceptable,
                    "a chart goes out as application/geo+json, application/prs.coverage+json, text/csv, image/svg+xml "
                    "or image/png",
                    "Accept");
    format = kFormats[*chosen];
  }
  // Pictures are work of a batch's size: lookups never wait for them.
  return answer_asked(call, {parameters, content_type(format), call.service.batches, kWaitForSlot,
                             [&] { return call.service.engine.chart(parameters, format); }});
}

}  // namespace agonic::server
