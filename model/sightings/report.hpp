// From sightings to what each instrument reads wrong: the answer behind /v1/fit.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/instrument/baseline.hpp"
#include "model/instrument/fit.hpp"
#include "model/instrument/repeatability.hpp"
#include "model/instrument/reversal.hpp"
#include "model/sightings/sighting.hpp"
#include "model/sightings/table.hpp"

namespace agonic::sightings {

/// The needle by a sighting of the sun against the declination: more is told, beyond the second it should be rejected.
/// Judgement.
inline constexpr double kSunDiffersDeg = 3, kSunRejectDeg = 15;

/// What a part of the sightings gave: its fit, or why there is none.
template <class F>
struct Part {
  std::vector<std::size_t> sightings;  ///< positions in Report::sightings, in the order of the fit's outcomes
  std::optional<F> fit;
  std::optional<Problem> problem;
};

/// The mean residual of one observer's sightings, where there are several observers.
struct ObserverMean {
  std::string observer;
  double residual_deg = 0;
  std::size_t n = 0;
};

struct InstrumentReport {
  std::string instrument;  ///< empty where no row names one
  instrument::Fit fit;     ///< as an instrument's record keeps it
  Part<instrument::AzimuthFit> azimuth;
  Part<instrument::ReversalFit> vertical, dip;
  instrument::FitContext context;
  std::optional<instrument::Repeatability> repeatability;
  std::vector<ObserverMean> observers;
  std::vector<instrument::Remark> remarks;  ///< of all parts, and of the sun
};

struct Report {
  std::vector<Sighting> sightings;
  std::vector<InstrumentReport> instruments;  ///< in the order in which they first appear
  Part<instrument::BaselineFit> baseline;     ///< where several instruments sighted the same lines
  std::size_t refused = 0, left_out = 0;
};

/// Fits. Bad rows are refused by themselves; an instrument whose sightings allow no fit says so in its part.
Report fit(std::vector<Sighting> sightings);

/// A whole call: rows and parameters to a report. Refuses unknown parameters.
Result<Report> fit(const field::Catalogue& catalogue, geodesy::Grids& grids, const std::vector<Row>& rows,
                   const Parameters& parameters, std::chrono::sys_days today);

/// The cautions that go with every answer.
std::vector<std::string> cautions(const Report& report);

std::string to_json(const Report& report);
/// For people: each instrument, then the sightings that need a look, or all of them.
std::string to_text(const Report& report, bool all_sightings);

/// The least that is worth telling of a sighting in one word: used, left_out, refused, compared.
std::string_view status(const Report& report, std::size_t sighting);

}  // namespace agonic::sightings
