// What the report on instruments finds, and what the service refuses.
#include "model/checks/tables.hpp"
#include "model/instrument/service_report.hpp"

namespace agonic::checks {
namespace {

namespace limit = instrument::service_limit;
constexpr std::uint16_t kRecords = at(Where::instruments), kHttp = at(Where::service);

// Told in words: a record is not one small input.
constexpr Example told(Where where, std::string_view raises, std::string_view passes) {
  return {where, {raises}, {passes}, true};
}
constexpr Example record(std::string_view raises, std::string_view passes) {
  return told(Where::instruments, raises, passes);
}
constexpr Example request(std::string_view raises, std::string_view passes) {
  return told(Where::service, raises, passes);
}

constexpr std::array kFindings{
    Entry{"no-record", Kind::ask, kRecords, "No azimuth index error is recorded for the day.",
          "Rows that name the instrument are refused: no record is not no error.",
          "Check it on a known line (agonic fit) and record what was found.",
          record("an instrument with a circle and nothing else", "one with an index error from before that day")},
    Entry{"not-known", Kind::ask, kRecords, "The index error is recorded as not known from some day on.",
          "It was dropped or serviced since it was found.", "Check it on a known line and record what was found.",
          record("dropped, so recorded as unknown", "checked again since")},
    Entry{"left-set",
          Kind::ask,
          kRecords,
          "The constant of the index error is larger than 5 degrees.",
          "The circle was probably left set when it was found.",
          "Turn the circle back and find it anew.",
          record("an index error of 13.5", "an index error of 0.5"),
          {{{"constant", limit::magnetised_deg, "degree", Basis::judgement}}}},
    Entry{"large-index-error",
          Kind::warn,
          kRecords,
          "The index error reaches more than 3 degrees.",
          "It is corrected, but such an instrument changes soon.",
          "Have it serviced.",
          record("an index error of 3.5", "an index error of 2.5"),
          {{{"index error", limit::index_deg, "degree", Basis::judgement}}}},
    Entry{"stale-fit",
          Kind::warn,
          kRecords,
          "The index error was found more than 2 years ago.",
          "Needles lose strength, pivots wear, instruments are dropped.",
          "Check it on a known line.",
          record("found in March 2023, asked in May 2026", "found in March 2025"),
          {{{"age", limit::stale_years, "years", Basis::judgement}}}},
    Entry{"setting-unknown", Kind::ask, kRecords, "What is set on the circle is recorded as not known.",
          "Its readings cannot be referred to true north until somebody looks.", "Look, and record it.",
          record("a setting recorded as unknown", "a setting of 13.5W")},
};

constexpr std::array kFaults{
    Entry{"not-found", Kind::stop, kHttp, "There is nothing at this address, or no instrument of this id in the team.",
          "A misspelt address answered with something else would be taken for the answer.",
          "/openapi.json lists the addresses.", request("GET /v1/declinaton", "GET /v1/declination")},
    Entry{"method-not-allowed", Kind::stop, kHttp, "The address is there and does not take this method.",
          "Reading and changing are kept apart.", "The header Allow lists the methods.",
          request("GET /v1/correct", "POST /v1/correct")},
    Entry{"overloaded", Kind::stop, kHttp, "The service has all the work it can do.",
          "Waiting in a queue without an end helps nobody.", "Try again after the seconds in Retry-After.",
          request("a batch while all places for batches are taken", "the same a little later")},
    Entry{"internal-error", Kind::stop, kHttp, "Something went wrong inside the service.", "Nothing half done is sent.",
          "Tell the operator the request id: the log has the reason.", request("a fault of the program", "none")},
    Entry{"request-malformed", Kind::stop, kHttp, "The request line or a header breaks RFC 9112.",
          "Two programs that read it differently can be played against each other.", "Use an HTTP library.",
          request("two Content-Length headers", "one")},
    Entry{"request-timeout", Kind::stop, kHttp, "The request did not arrive in time.",
          "A half-open connection holds a place that others need.", "Send it again, over a better line or in parts.",
          request("a head that trickles in for a minute", "one sent at once")},
    Entry{"not-acceptable", Kind::stop, kHttp, "No type that Accept names can be given.",
          "Another type would not be read.", "Ask for one of those that the detail names.",
          request("Accept: image/gif", "Accept: application/json")},
    Entry{"length-required", Kind::stop, kHttp, "A body comes without Content-Length and not in chunks.",
          "Its end cannot be told from a broken line.", "Send Content-Length or Transfer-Encoding: chunked.",
          request("POST without either", "POST with Content-Length")},
    Entry{"target-too-long", Kind::stop, kHttp, "The address is too long.",
          "Places belong in bodies, which no log keeps.", "POST the parameters as JSON.",
          request("a query of 9000 bytes", "the same as a body")},
    Entry{"encoding-unsupported", Kind::stop, kHttp, "The body is compressed in a way other than gzip.",
          "It cannot be read.", "Send it plain or as gzip.", request("Content-Encoding: br", "Content-Encoding: gzip")},
    Entry{"expectation-failed", Kind::stop, kHttp, "Expect asks for something other than 100-continue.",
          "It cannot be promised.", "Leave the header out.", request("Expect: 200-maybe", "Expect: 100-continue")},
    Entry{"headers-too-large", Kind::stop, kHttp, "There are too many headers, or they are too long.",
          "They would take memory before anything is known of the caller.", "Send fewer or shorter ones.",
          request("a header of 20000 bytes", "a header of 200 bytes")},
    Entry{"version-unsupported", Kind::stop, kHttp, "The request is not HTTP/1.1 or 1.0.", "It cannot be read.",
          "Use HTTP/1.1.", request("GET / HTTP/3.0", "GET / HTTP/1.1")},
    Entry{"storage-full", Kind::stop, kHttp, "The service's disk is full.", "Nothing half written is kept.",
          "Try again later, or tell the operator.", request("a batch when no space is left", "the same with space")},
    Entry{"upload-truncated", Kind::stop, kHttp, "The body ended before its stated length.",
          "A notebook without its end looks like a whole one.", "Send it again.",
          request("a connection lost on the way", "a whole body")},
    Entry{"body-malformed", Kind::stop, kHttp, "The body is no flat JSON object of texts and numbers.",
          "A value in the wrong place would be passed over.", R"(Send {"lat": 46, "lon": 8, "date": "2026-05-01"}.)",
          request(R"({"lat": [46]})", R"({"lat": 46, "lon": 8, "date": "2026-05-01"})")},
    Entry{"parameter-repeated", Kind::stop, kHttp, "A parameter is given twice.",
          "Taking one of them would be a guess.", "Give each once.", request("?lat=46&lat=47", "?lat=46")},
    Entry{"key-missing", Kind::stop, kHttp, "The call needs a key, and there is none or one that is not known.",
          "Records of instruments belong to a team.",
          "Send Authorization: Bearer with a live key (--key-file, AGONIC_KEY).",
          request("a list of instruments without a key, once keys were made", "the same with one")},
    Entry{"not-allowed", Kind::stop, kHttp, "The key, or coming without one, does not permit this call.",
          "Keys and backups are the operator's; without keys the registry is for this machine alone.",
          "Use the key that does.", request("a team's key at /v1/keys", "the operator's key")},
    Entry{"version-stale", Kind::stop, kHttp, "The record was changed by somebody else since it was read.",
          "The other's change would be lost.", "Read it again and make the change anew on what stands there.",
          request("If-Match with version 3, where 4 stands", "If-Match with version 4")},
    Entry{"version-missing", Kind::stop, kHttp, "A change comes without If-Match.",
          "Without it another's change would be passed over.", "Read the record first and send its ETag as If-Match.",
          request("PUT without If-Match", "PUT with it")},
    Entry{"already-exists", Kind::stop, kHttp, "There is an instrument of this id already.",
          "Two instruments under one id would share their errors.", "Change the one that is there, or take another id.",
          request("BR-07 added a second time", "BR-08 added")},
    Entry{"idempotency-key-reused", Kind::stop, kHttp, "An Idempotency-Key comes with another request than at first.",
          "The answer kept under it is that of the first.", "Make a new key for each new request.",
          request("the same key with another body", "the same key with the same body")},
    Entry{"request-in-progress", Kind::stop, kHttp, "A request of this Idempotency-Key is under way.",
          "Two at once could both be done.", "Wait a moment and send it again.",
          request("sent twice at once", "sent again after the answer")},
    Entry{"too-many-requests", Kind::stop, kHttp, "More calls than are allowed come with this key.",
          "One program gone wild would take the service from all others.",
          "Wait the seconds in Retry-After; send batches.", request("hundreds of calls a second", "one batch")},
    Entry{"registry-unavailable", Kind::stop, kHttp, "The store of the instruments' records does not answer.",
          "A change that may not have been kept is not called done.", "Try again after Retry-After; reads go on.",
          request("a change while the database is down", "the same when it is back")},
    Entry{"not-supported", Kind::stop, kHttp, "The store behind the registry cannot do that.",
          "A backup of half a database is none.", "The detail names the way that is.",
          request("a backup through the service from PostgreSQL", "one from SQLite")},
};

}  // namespace

std::span<const Entry> instrument_findings() noexcept { return kFindings; }
std::span<const Entry> service_faults() noexcept { return kFaults; }

}  // namespace agonic::checks
