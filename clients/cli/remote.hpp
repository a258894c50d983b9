// The same work, done by an agonicd elsewhere.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

#include "clients/cli/context.hpp"
#include "clients/cli/registry_client.hpp"
#include "model/desk/desk.hpp"
#include "model/exchange/batch.hpp"
#include "model/review/reviewer.hpp"

namespace agonic::cli {

/// POSTs a lookup (so that the place stands in no URL) and prints the answer. Tells the exit code.
int remote_lookup(const Common& common, const std::string& path, const Parameters& parameters);
/// POSTs a lookup and takes the answer as it is. Tells the exit code; what was refused has been said.
int remote_bytes(const Common& common, const std::string& path, const Parameters& parameters,
                 const std::string& media_type, std::string& bytes);
/// GETs and prints.
int remote_get(const Common& common, const std::string& path);

/// POSTs a file of sightings and prints what the server found. Tells the exit code.
int remote_fit(const Common& common, const RegistryOptions& registry, const Parameters& parameters,
               const std::string& media_type, const std::string& text, bool all_sightings);

/// Tells a problem document as the line that the command would have printed itself, and the exit code.
int report_remote(int status, const std::string& body, bool json);

/// Reads the next piece of input into the buffer; empty at the end.
using ReadPiece = std::function<std::string_view()>;
/// Streams a batch to the server and its answer into the sink. Tells the exit code; the summary goes to standard error.
/// @param compressed the pieces are a gzip stream
int remote_correct(const Common& common, const exchange::BatchOptions& options, bool compressed, const ReadPiece& read,
                   exchange::ByteSink& sink);

/// What came back for a document that was sent whole.
struct RemoteAnswer {
  std::string body;
  std::string summary_json;
  std::uint64_t rows = 0, refused = 0;
};
/// POSTs a body of this media type with the parameters in the query. Tells the exit code; what was refused as a whole
/// has been said.
int remote_work(const Common& common, const std::string& path, const Parameters& parameters, std::string_view type,
                std::string_view body, RemoteAnswer& answer);
/// Sends a data set to be reviewed and fills the answer in this format. Tells the exit code.
int remote_review(const Common& common, const exchange::BatchOptions& options, const std::string& text,
                  review::Format format, std::string& answer, std::uint64_t& refused);

/// Sends a whole document and fills the answer. Tells the exit code; what was refused has been said.
int remote_document(const Common& common, const std::string& path, const desk::Request& request, desk::Answer& answer);

}  // namespace agonic::cli
