#include "clients/cli/remote.hpp"

#include <httplib.h>

#include <iostream>
#include <nlohmann/json.hpp>

#include "clients/cli/registry_client.hpp"
#include "model/lookup/lookup.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

constexpr time_t kLookupSeconds = 30, kBatchSeconds = 3600;

int unreachable(const Common& common, const httplib::Result& result) {
  std::cerr << "agonic: " << common.server << ": "
            << "cannot be reached (" + httplib::to_string(result.error()) + ")"
            << ". Is agonicd running there?\n";
  return kFailed;
}

httplib::Client client_for(const Common& common, time_t seconds) {
  httplib::Client client(common.server);
  client.set_read_timeout(seconds);
  client.set_write_timeout(seconds);
  return client;
}

// The parameters as the members of one JSON object.
std::string members_of(const Parameters& parameters) {
  nlohmann::json body = nlohmann::json::object();
  for (const auto& [name, value] : parameters.values) body[name] = value;
  return body.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

// The counts that came back, so that they are told in the same words as those of a batch done here.
exchange::Summary summary_of(const nlohmann::json& counts) {
  exchange::Summary summary;
  summary.corrected = counts.value("corrected", std::uint64_t{0});
  summary.unchanged = counts.value("unchanged", std::uint64_t{0});
  summary.refused = counts.value("refused", std::uint64_t{0});
  for (const auto& row : counts.value("first_refused", nlohmann::json::array()))
    summary.first_refused.push_back(
        {row.value("row", std::uint64_t{0}), row.value("line", std::uint64_t{0}), Problem{}});
  return summary;
}

constexpr std::string_view kProblems = "/problems/";

}  // namespace

int report_remote(int status, const std::string& body, bool json) {
  const auto document = nlohmann::json::parse(body, nullptr, false);
  const std::string type = document.is_object() ? document.value("type", "") : "";
  const std::string code = type.starts_with(kProblems) ? type.substr(kProblems.size()) : "";
  if (json) {
    std::cerr << body << '\n';
  } else if (document.is_object()) {
    const Problem told{Code::internal, "", "", document.value("detail", document.value("title", "refused")),
                       as_options(document.value("remedy", ""))};
    std::cerr << "agonic: server: " << told.text() << (code.empty() ? "" : " [" + code + "]") << '\n';
  } else {
    std::cerr << "agonic: the server answered " << status << '\n';
  }
  if (const auto known = code_of(code)) return exit_code(*known);
  return status >= 500 || status == 404 ? kFailed : kWrongUse;
}

int remote_bytes(const Common& common, const std::string& path, const Parameters& parameters,
                 const std::string& media_type, std::string& bytes) {
  auto client = client_for(common, kLookupSeconds);
  const auto result = client.Post(path, {{"Accept", media_type}}, members_of(parameters), "application/json");
  if (!result) return unreachable(common, result);
  if (result->status != 200) return report_remote(result->status, result->body, common.json);
  bytes = result->body;
  return kDone;
}

int remote_lookup(const Common& common, const std::string& path, const Parameters& parameters) {
  auto client = client_for(common, kLookupSeconds);
  const auto result = client.Post(path, members_of(parameters), "application/json");
  if (!result) return unreachable(common, result);
  if (result->status != 200) return report_remote(result->status, result->body, common.json);
  const auto answer = nlohmann::json::parse(result->body, nullptr, false);
  if (common.json || !answer.is_object()) {
    std::cout << result->body << '\n';
    return kDone;
  }
  const bool of_needle = answer.contains("declination_text");  // the sun's answer has none
  const std::string line = answer.value("declination_text", "") + " +/- " +
                           format_fixed(answer.value("declination_sigma_deg", 0.0), 2) + "  " +
                           answer.value("model", "");
  if (!of_needle)
    std::cout << answer.value("instructions", "");
  else if (answer.contains("instructions"))
    std::cout << "Declination " << line << '\n' << answer.value("instructions", "");
  else
    std::cout << line << '\n';
  const auto warnings = answer.value("warnings", std::vector<std::string>());
  const auto codes = answer.value("warning_codes", std::vector<std::string>());
  for (std::size_t i = 0; i < warnings.size(); ++i)
    std::cerr << "note: " << warnings[i] << (i < codes.size() ? " [" + codes[i] + "]" : "") << '\n';
  return kDone;
}

int remote_get(const Common& common, const std::string& path) {
  auto client = client_for(common, kLookupSeconds);
  const auto result = client.Get(path);
  if (!result) return unreachable(common, result);
  if (result->status != 200) return report_remote(result->status, result->body, common.json);
  std::cout << result->body << '\n';
  return kDone;
}

int remote_fit(const Common& common, const RegistryOptions& registry, const Parameters& parameters,
               const std::string& media_type, const std::string& text, bool all_sightings) {
  std::string path = "/v1/fit";
  char separator = '?';
  for (const auto& [name, value] : parameters.values) {
    path += separator + url_encoded(name) + "=" + url_encoded(value);
    separator = '&';
  }
  path += separator + std::string(common.json ? "f=json" : all_sightings ? "f=text&all=yes" : "f=text");
  auto client = client_for(common, kBatchSeconds);
  const auto key = key_for(common.server, registry);
  if (!key) return report(key.problem(), common.json);
  httplib::Headers headers;
  if (!key->empty()) headers.emplace("Authorization", "Bearer " + *key);
  const auto result = client.Post(path, headers, text, media_type.c_str());
  if (!result) return unreachable(common, result);
  if (result->status != 200) return report_remote(result->status, result->body, common.json);
  std::cout << result->body << (common.json ? "\n" : "");
  const auto refused = nlohmann::json::parse(result->get_header_value("Agonic-Summary"), nullptr, false);
  return refused.is_object() && refused.value("refused", 0) > 0 ? kRowsRefused : kDone;
}

int remote_correct(const Common& common, const exchange::BatchOptions& options, bool compressed, const ReadPiece& read,
                   exchange::ByteSink& sink) {
  auto client = client_for(common, kBatchSeconds);
  client.set_decompress(false);  // what was asked for compressed is wanted so
  httplib::Request request;
  request.method = "POST";
  request.path = "/v1/correct";
  char separator = '?';
  for (const auto& [name, value] : options.defaults.values) {
    request.path += separator + url_encoded(name) + "=" + url_encoded(value);
    separator = '&';
  }
  request.headers = {{"Content-Type", std::string(media_type(options.in))},
                     {"Accept", std::string(media_type(options.out))},
                     {"Accept-Encoding", options.gzip ? "gzip" : "identity"},
                     {"Transfer-Encoding", "chunked"}};
  if (compressed) request.headers.emplace("Content-Encoding", "gzip");
  // The server looks instruments up for the team of the key.
  const auto key = key_for(common.server, {});
  if (!key) return report(key.problem(), common.json);
  if (!key->empty()) request.headers.emplace("Authorization", "Bearer " + *key);
  request.is_chunked_content_provider_ = true;
  request.content_provider_ = [&](std::size_t, std::size_t, httplib::DataSink& out) {
    const std::string_view piece = read();
    if (piece.empty())
      out.done();
    else
      out.write(piece.data(), piece.size());
    return true;
  };
  std::string problem;
  int status = 0;
  request.response_handler = [&](const httplib::Response& response) {
    status = response.status;
    return true;
  };
  request.content_receiver = [&](const char* data, std::size_t size, std::uint64_t, std::uint64_t) {
    if (status == 200)
      sink.write({data, size});
    else
      problem.append(data, size);
    return true;
  };
  const auto result = client.send(request);
  if (!result) return unreachable(common, result);
  if (status != 200) return report_remote(status, problem, common.json);
  const std::string summary = result->get_header_value("Agonic-Summary");
  const auto counts = nlohmann::json::parse(summary, nullptr, false);
  std::cerr << (common.json || !counts.is_object() ? summary : to_line(summary_of(counts))) << '\n';
  return counts.is_object() && counts.value("refused", 0) > 0 ? kRowsRefused : kDone;
}

int remote_review(const Common& common, const exchange::BatchOptions& options, const std::string& text,
                  review::Format format, std::string& answer, std::uint64_t& refused) {
  std::string path = "/v1/review?f=";
  path += format == review::Format::json ? "json" : format == review::Format::html ? "html" : "text";
  for (const auto& [name, value] : options.defaults.values) path += "&" + url_encoded(name) + "=" + url_encoded(value);
  auto client = client_for(common, kBatchSeconds);
  // The server looks instruments up for the team of the key.
  const auto key = key_for(common.server, {});
  if (!key) return report(key.problem(), common.json);
  httplib::Headers headers;
  if (!key->empty()) headers.emplace("Authorization", "Bearer " + *key);
  const auto result = client.Post(path, headers, text, std::string(exchange::media_type(options.in)));
  if (!result) return unreachable(common, result);
  if (result->status != 200) return report_remote(result->status, result->body, common.json);
  answer = result->body;
  const auto counts = nlohmann::json::parse(result->get_header_value("Agonic-Summary"), nullptr, false);
  if (counts.is_object()) refused = counts.value("refused", std::uint64_t{0});
  return refused > 0 ? kRowsRefused : kDone;
}

int remote_work(const Common& common, const std::string& path, const Parameters& parameters, std::string_view type,
                std::string_view body, RemoteAnswer& answer) {
  std::string target = path;
  for (const auto& [name, value] : parameters.values)
    target += (target.size() == path.size() ? "?" : "&") + url_encoded(name) + "=" + url_encoded(value);
  auto client = client_for(common, kLookupSeconds);
  const auto result = client.Post(target, std::string(body), std::string(type).c_str());
  if (!result) return unreachable(common, result);
  if (result->status != 200) return report_remote(result->status, result->body, common.json);
  answer.body = result->body;
  answer.summary_json = result->get_header_value("Agonic-Summary");
  const auto counts = nlohmann::json::parse(answer.summary_json, nullptr, false);
  if (counts.is_object()) {
    answer.rows = counts.value("rows", counts.value("stops", std::uint64_t{0}));
    answer.refused = counts.value("refused", std::uint64_t{0});
  }
  return answer.refused > 0 ? kRowsRefused : kDone;
}

int remote_document(const Common& common, const std::string& path, const desk::Request& request, desk::Answer& answer) {
  Parameters parameters = request.parameters;
  parameters.values["f"] = request.out == desk::Format::csv    ? "csv"
                           : request.out == desk::Format::json ? "json"
                                                               : "text";
  RemoteAnswer got;
  const int code = remote_work(common, path, parameters, media_type(request.in), request.body, got);
  if (code > kRowsRefused) return code;
  answer.body = std::move(got.body);
  answer.summary_json = std::move(got.summary_json);
  answer.rows = got.rows;
  answer.refused = got.refused;
  answer.summary_line = std::to_string(answer.rows) + " rows, " + std::to_string(answer.refused) + " refused";
  return code;
}

}  // namespace agonic::cli
