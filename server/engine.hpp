// What the endpoints ask of the model: parameters in, answers as text out. Tests put a stub in its place.
#pragma once

#include <memory>
#include <string>

#include "model/card/print.hpp"
#include "model/chart/document.hpp"
#include "model/desk/desk.hpp"
#include "model/exchange/batch.hpp"
#include "model/instrument/record_json.hpp"
#include "model/review/reviewer.hpp"
#include "model/route/route.hpp"
#include "model/units/parameters.hpp"
#include "model/units/problem.hpp"

namespace agonic::server {

/// An answer, JSON or of the type asked for, and how long it stays true.
struct Answer {
  std::string body;
  bool until_midnight = false;  ///< asked for `today`: it holds until 00:00 UTC only
};

/// What sightings say of instruments.
struct FitAnswer {
  std::string json, text, text_all;  ///< the whole; for people; for people with every sighting
  std::size_t sightings = 0, refused = 0, left_out = 0;
  /// What could be kept of each instrument in the sightings, or why nothing.
  struct Found {
    std::string instrument;  ///< empty where no row names one
    Result<std::vector<instrument::Proposal>> proposals;
  };
  std::vector<Found> found;
};

/// What a batch is asked for.
struct BatchRequest {
  exchange::Format in = exchange::Format::csv, out = exchange::Format::csv;
  bool gzip = false;  ///< the result as a gzip stream
  Parameters parameters;
  std::shared_ptr<const instrument::Registry> instruments;  ///< those that the caller may use
};

/// Safe to call from many threads at once.
class Engine {
 public:
  virtual ~Engine() = default;
  virtual Result<Answer> declination(const Parameters& parameters) = 0;
  virtual Result<Answer> setting(const Parameters& parameters) = 0;
  virtual Result<Answer> sun(const Parameters& parameters) = 0;
  /// Lines or a grid for a box.
  virtual Result<Answer> chart(const Parameters& parameters, chart::Format format) = 0;
  /// Sightings to index errors; a body of at most sightings::kMostBytes.
  virtual Result<FitAnswer> fit(bool json, std::string_view body, const Parameters& parameters,
                                std::string_view why) = 0;
  /// The models, their sources and the self-check.
  virtual std::string models() = 0;
  /// A batch; the sink must outlive it.
  virtual Result<std::unique_ptr<exchange::BatchCorrector>> correct(const BatchRequest& batch,
                                                                    exchange::ByteSink& sink) = 0;
  /// A whole data set looked at; `out` and `gzip` of the request are not used.
  virtual Result<std::unique_ptr<review::Reviewer>> review(const BatchRequest& batch) = 0;
  /// A whole document: a traverse, pairs of old and found lines, readings beside an observatory.
  virtual Result<desk::Answer> work(desk::Job job, desk::Request request) = 0;
  /// A route of stops.
  virtual Result<route::Answer> route(route::Request request) = 0;
  /// The field card of a place and period, as a file.
  virtual Result<std::string> card(const Parameters& parameters, const instrument::Registry& instruments,
                                   card::Format format) = 0;
  /// The card of a route.
  virtual Result<std::string> route_card(route::Request request, const instrument::Registry& instruments,
                                         card::Format format) = 0;
  /// True when every published check value was reproduced at the start.
  [[nodiscard]] virtual bool ready() const = 0;
  /// Changes with the program and with any loaded coefficient file: part of every entity tag.
  [[nodiscard]] virtual std::string digest() const = 0;
};

}  // namespace agonic::server
