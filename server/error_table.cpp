// Statuses follow RFC 9110 section 15: 400 what cannot be read or is ambiguous, 422 what reads well and is out of
// domain, 409 what contradicts the state of the file sent.
#include "server/error_table.hpp"

#include <array>

namespace agonic::server {
namespace {

constexpr std::array kTable{
    ErrorKind{"missing-value", 400, "A needed value is missing", "Give the parameter or column that `field` names."},
    ErrorKind{"not-a-number", 400, "Not a number", "Write a decimal number with a point, such as 42.5."},
    ErrorKind{"out-of-range", 422, "Value out of range", "The value reads well but lies outside its range."},
    ErrorKind{"unknown-name", 400, "Unknown name", "A parameter, column or word is not known here."},
    ErrorKind{"contradiction", 422, "Values contradict each other", "Two of the values given cannot both hold."},
    ErrorKind{"sixty-minutes-or-more", 400, "Minutes or seconds of 60 and more",
              "Minutes and seconds end at 59.999; perhaps decimals of a degree were meant."},
    ErrorKind{"place-unreadable", 400, "Place not understood",
              "Use decimal degrees, degrees-minutes-seconds, UTM/UPS or MGRS."},
    ErrorKind{"place-out-of-range", 422, "Place out of range", "Latitude lies in -90..90, longitude in -180..360."},
    ErrorKind{"place-ambiguous", 400, "Place can be read in two ways", "The detail names both meanings; say which."},
    ErrorKind{"place-swapped", 422, "Latitude and longitude look swapped", "Latitude comes first."},
    ErrorKind{"height-out-of-range", 422, "Height out of range", "Heights are metres above the WGS84 ellipsoid."},
    ErrorKind{"date-missing", 400, "Date is missing", "The field changes with time: say when, or write `today`."},
    ErrorKind{"date-unreadable", 400, "Date not understood", "Use ISO 8601, such as 2008-07-01, or 2008.5."},
    ErrorKind{"date-ambiguous", 400, "Date can be read in two ways", "Use ISO 8601 or declare `date_order`."},
    ErrorKind{"date-in-the-future", 422, "Date of a reading in the future", "A reading cannot be of tomorrow."},
    ErrorKind{"date-outside-models", 422, "Date outside the models", "`/v1/models` lists the spans."},
    ErrorKind{"model-unknown", 422, "Model not known", "`/v1/models` lists the models at hand."},
    ErrorKind{"declination-without-side", 400, "Declination without east or west", "Write 13.7W, 13.7E or a sign."},
    ErrorKind{"declination-sign-against-letter", 400, "Sign and letter disagree", "Give a sign or a letter, not both."},
    ErrorKind{"grid-unknown", 422, "Grid not known", "Use a zone such as 33N, or a code such as EPSG:25833."},
    ErrorKind{"grid-out-of-area", 422, "Place outside the grid", "The grid's angle is not defined at this place."},
    ErrorKind{"needle-unusable", 422, "The needle is of no use here",
              "The horizontal field is too weak for a compass; `force_unusable=yes` answers all the same."},
    ErrorKind{"north-reference-missing", 422, "North reference not declared",
              "Say what the azimuths refer to: circle, magnetic, true or grid."},
    ErrorKind{"set-declination-unknown", 422, "Declination set on the circle not known",
              "Say what was set on the circle; 0 if nothing was."},
    ErrorKind{"plane-convention-missing", 422, "Convention of planes not declared",
              "Say right_hand, left_hand, dip_direction or quadrant."},
    ErrorKind{"quadrant-out-of-range", 422, "Quadrant angle out of range", "A quadrant bearing runs from 0 to 90."},
    ErrorKind{"dip-letter-along-strike", 422, "Dip letter along the strike", "A plane dips across its strike."},
    ErrorKind{"dip-letter-against-strike", 422, "Dip letter against the strike's convention",
              "The letter and the declared convention name opposite sides."},
    ErrorKind{"reading-out-of-range", 422, "Reading out of range", "An angle lies beyond the range of its kind."},
    ErrorKind{"not-applicable", 422, "Value without meaning here", "Leave it empty for this kind of row."},
    ErrorKind{"index-curve-unsolvable", 422, "Index curve cannot be solved", "Its coefficients are too large."},
    ErrorKind{"instrument-unknown", 422, "Instrument not known", "Give the index errors in columns instead."},
    ErrorKind{"already-corrected", 409, "File already corrected",
              "It carries the columns of an earlier correction; `again=yes` permits the inverse."},
    ErrorKind{"column-name-taken", 409, "Column name taken", "Rename the input column that `field` names."},
    ErrorKind{"row-malformed", 400, "Row not readable", "The row does not fit its format."},
    ErrorKind{"file-malformed", 400, "File not readable", "The file does not fit its declared format."},
    ErrorKind{"columns-missing", 400, "Columns are missing", "Add the columns named, or give them as defaults."},
    ErrorKind{"too-large", 413, "Too large", "Send it in parts, or raise the limit of the service."},
    ErrorKind{"coefficients-bad", 500, "Coefficient file refused", "The operator finds the file and line in the log."},
    ErrorKind{"unsupported-format", 415, "Media type not supported", "`Accept-Post` lists those that are."},
    ErrorKind{"not-found", 404, "Nothing here", "`/openapi.json` describes every address."},
    ErrorKind{"method-not-allowed", 405, "Method not allowed", "`Allow` lists the methods of this address."},
    ErrorKind{"overloaded", 503, "Busy", "Try again after the seconds in `Retry-After`."},
    ErrorKind{"internal-error", 500, "Internal error", "The operator finds the request id in the log."},
    ErrorKind{"request-malformed", 400, "Request not well formed", "The request line or a header breaks RFC 9112."},
    ErrorKind{"request-timeout", 408, "Request too slow", "The request did not arrive in time."},
    ErrorKind{"not-acceptable", 406, "No acceptable media type", "Ask for one of the types named in the detail."},
    ErrorKind{"length-required", 411, "Length required", "Send Content-Length or Transfer-Encoding: chunked."},
    ErrorKind{"target-too-long", 414, "Address too long", "Send long input in the body of a POST."},
    ErrorKind{"encoding-unsupported", 415, "Content encoding not supported", "Send the body plain or as gzip."},
    ErrorKind{"expectation-failed", 417, "Expectation failed", "Only 100-continue can be expected."},
    ErrorKind{"headers-too-large", 431, "Headers too large", "Send fewer or shorter headers."},
    ErrorKind{"version-unsupported", 505, "HTTP version not supported", "Use HTTP/1.1."},
    ErrorKind{"storage-full", 507, "No space left", "The service's disk is full: try again later."},
    ErrorKind{"upload-truncated", 400, "Upload incomplete", "The body ended early; send it again."},
    ErrorKind{"body-malformed", 400, "Body not well formed",
              "Send one flat JSON object of texts and numbers, as {\"lat\": 42.283, \"lon\": -71.35, \"date\": "
              "\"2028-07-04\"}."},
    ErrorKind{"parameter-repeated", 400, "Parameter given twice", "Give each parameter once."},
    ErrorKind{"key-missing", 401, "Key missing or not known", "Send `Authorization: Bearer` with a live key."},
    ErrorKind{"not-allowed", 403, "Not allowed", "The key, or coming without one, does not permit this."},
    ErrorKind{"version-stale", 412, "Changed in the meantime",
              "Read it again, and make the change anew on what stands there."},
    ErrorKind{"version-missing", 428, "If-Match is missing",
              "Read it first, and send its ETag as `If-Match`, so that no other's change is passed over."},
    ErrorKind{"already-exists", 409, "There already", "Change the one that is there, or take another id."},
    ErrorKind{"idempotency-key-reused", 422, "Idempotency-Key used for another request",
              "Make a new one for each new request."},
    ErrorKind{"request-in-progress", 409, "The same request is being worked on", "Wait for its answer."},
    ErrorKind{"too-many-requests", 429, "Too many requests", "Try again after the seconds in `Retry-After`."},
    ErrorKind{"registry-unavailable", 503, "Registry not available",
              "Lookups and corrections without instruments go on; try again after `Retry-After`, or ask the operator."},
    ErrorKind{"not-supported", 501, "Not supported by this store", "The detail names the way that is."},
};

struct FaultWord {
  HttpFault fault;
  std::string_view word;
};

constexpr std::array kFaultWords{
    FaultWord{HttpFault::request_malformed, "request-malformed"},
    FaultWord{HttpFault::request_timeout, "request-timeout"},
    FaultWord{HttpFault::not_acceptable, "not-acceptable"},
    FaultWord{HttpFault::length_required, "length-required"},
    FaultWord{HttpFault::target_too_long, "target-too-long"},
    FaultWord{HttpFault::encoding_unsupported, "encoding-unsupported"},
    FaultWord{HttpFault::expectation_failed, "expectation-failed"},
    FaultWord{HttpFault::headers_too_large, "headers-too-large"},
    FaultWord{HttpFault::version_unsupported, "version-unsupported"},
    FaultWord{HttpFault::storage_full, "storage-full"},
    FaultWord{HttpFault::upload_truncated, "upload-truncated"},
    FaultWord{HttpFault::body_malformed, "body-malformed"},
    FaultWord{HttpFault::query_repeated, "parameter-repeated"},
    FaultWord{HttpFault::key_missing, "key-missing"},
    FaultWord{HttpFault::not_allowed, "not-allowed"},
    FaultWord{HttpFault::version_stale, "version-stale"},
    FaultWord{HttpFault::version_missing, "version-missing"},
    FaultWord{HttpFault::already_exists, "already-exists"},
    FaultWord{HttpFault::key_reused, "idempotency-key-reused"},
    FaultWord{HttpFault::in_progress, "request-in-progress"},
    FaultWord{HttpFault::too_many_requests, "too-many-requests"},
    FaultWord{HttpFault::registry_unavailable, "registry-unavailable"},
    FaultWord{HttpFault::not_supported, "not-supported"},
};
static_assert(kFaultWords.size() == static_cast<std::size_t>(HttpFault::not_supported) + 1);

const ErrorKind& known(std::string_view word) noexcept {
  const ErrorKind* kind = error_kind(word);
  return kind != nullptr ? *kind : *error_kind("internal-error");
}

}  // namespace

std::span<const ErrorKind> error_table() noexcept { return kTable; }

const ErrorKind* error_kind(std::string_view word) noexcept {
  for (const ErrorKind& kind : kTable)
    if (kind.word == word) return &kind;
  return nullptr;
}

std::string_view word(HttpFault fault) noexcept { return kFaultWords[static_cast<std::size_t>(fault)].word; }
const ErrorKind& error_kind(Code code) noexcept { return known(agonic::word(code)); }
const ErrorKind& error_kind(HttpFault fault) noexcept { return known(word(fault)); }

}  // namespace agonic::server
