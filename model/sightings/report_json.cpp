#include <cmath>
#include <nlohmann/json.hpp>

#include "model/sightings/report.hpp"
#include "model/units/number.hpp"

namespace agonic::sightings {
namespace {

using Json = nlohmann::ordered_json;
using instrument::Blunder;

Json remarks_json(const std::vector<instrument::Remark>& remarks) {
  Json out = Json::array();
  for (const auto& remark : remarks) out.push_back({{"code", remark.code}, {"text", remark.text}});
  return out;
}

Json problem_json(const Problem& problem) {
  return {{"code", word(problem.code)},
          {"field", problem.field},
          {"value", problem.value},
          {"detail", problem.message},
          {"remedy", problem.remedy}};
}

Json blunder_json(Blunder blunder) { return blunder == Blunder::none ? Json() : Json(word(blunder)); }

Json azimuth_json(const InstrumentReport& one) {
  if (one.azimuth.problem) return {{"problem", problem_json(*one.azimuth.problem)}};
  if (!one.azimuth.fit) return nullptr;
  const instrument::AzimuthFit& fit = *one.azimuth.fit;
  const auto& c = fit.curve;
  Json sigmas = Json::array();
  for (std::size_t k = 0; k < 5; ++k)
    sigmas.push_back(std::sqrt(fit.covariance.upper[instrument::IndexCovariance::at(k, k)]));
  return {{"shape", word(fit.shape)},
          {"azimuth_index_error", {c.a, c.b, c.c, c.d, c.e}},
          {"sigma_deg", std::move(sigmas)},
          {"covariance", fit.covariance.upper},
          {"sightings_covariance", fit.of_sightings.upper},
          {"declination_sigma_deg", one.context.common_sigma_deg},
          {"daily_swing_deg", one.context.floor_sigma_deg},
          {"scatter_deg", fit.dof > 0 ? Json(fit.scatter_deg) : Json()},
          {"degrees_of_freedom", fit.dof},
          {"sightings", fit.used},
          {"left_out", fit.left_out},
          {"largest_gap_deg", fit.largest_gap_deg},
          {"rule", fit.rule}};
}

Json reversal_json(const Part<instrument::ReversalFit>& part) {
  if (part.problem) return {{"problem", problem_json(*part.problem)}};
  if (!part.fit) return nullptr;
  return {{"index_error_deg", part.fit->index_deg},
          {"sigma_deg", part.fit->sigma_deg},
          {"scatter_deg", part.fit->used > 1 ? Json(part.fit->scatter_deg) : Json()},
          {"pairs", part.fit->used},
          {"left_out", part.fit->left_out}};
}

Json repeatability_json(const InstrumentReport& one) {
  if (!one.repeatability) return nullptr;
  const auto& r = *one.repeatability;
  return {{"lines", r.lines},
          {"readings", r.readings},
          {"degrees_of_freedom", r.dof},
          {"standard_deviation_deg", r.s_deg},
          {"interval_95_deg", {r.s_low_deg, r.s_high_deg}},
          {"stated_deg", r.stated_deg ? Json(*r.stated_deg) : Json()},
          {"limit_95_deg", r.limit_deg ? Json(*r.limit_deg) : Json()},
          {"as_stated", r.limit_deg ? Json(r.as_stated) : Json()},
          {"statement", r.statement}};
}

// Adds what a fit says of each of its sightings.
template <class F>
void add_outcomes(const Part<F>& part, const std::string& prefix, Json& sightings) {
  if (!part.fit) return;
  for (std::size_t k = 0; k < part.sightings.size(); ++k) {
    const auto& outcome = part.fit->outcomes[k];
    Json& out = sightings[part.sightings[k]];
    out[prefix + "index_deg"] = outcome.index_deg;
    out[prefix + "residual_deg"] = outcome.residual_deg;
    out[prefix + "mistake"] = blunder_json(outcome.blunder);
    if (outcome.blunder != Blunder::none) out[prefix + "remark"] = instrument::meaning(outcome.blunder);
    if constexpr (requires { outcome.or_else; }) {
      Json others = Json::array();
      for (const Blunder other : outcome.or_else) others.push_back(word(other));
      if (!others.empty()) out[prefix + "or_else"] = std::move(others);
    } else {
      out[prefix + "slope_deg"] = outcome.slope_deg;
    }
  }
}

Json sighting_json(const Report& report, std::size_t i) {
  const Sighting& s = report.sightings[i];
  Json out{{"row", s.row}};
  if (s.line > 0) out["line_of_file"] = s.line;
  if (!s.id.empty()) out["id"] = s.id;
  if (!s.instrument.empty()) out["instrument"] = s.instrument;
  if (!s.observer.empty()) out["observer"] = s.observer;
  if (!s.line_name.empty()) out["line"] = s.line_name;
  out["status"] = status(report, i);
  if (s.problem) {
    out["problem"] = problem_json(*s.problem);
    return out;
  }
  if (s.observation) {
    out["magnetic_azimuth_deg"] = s.observation->magnetic_deg;
    out["declination_deg"] = s.declination_deg;
    out["declination_sigma_deg"] = s.declination_sigma_deg;
    out["model"] = s.site_declination ? Json("site") : Json(s.model);
    out["sigma_deg"] = s.observation->sigma_deg;
  }
  if (s.sun_elevation_deg) out["sun_elevation_deg"] = *s.sun_elevation_deg;
  return out;
}

}  // namespace

std::string to_json(const Report& report) {
  Json sightings = Json::array();
  for (std::size_t i = 0; i < report.sightings.size(); ++i) sightings.push_back(sighting_json(report, i));
  Json instruments = Json::array();
  for (const InstrumentReport& one : report.instruments) {
    add_outcomes(one.azimuth, "", sightings);
    add_outcomes(one.vertical, "vertical_", sightings);
    add_outcomes(one.dip, "dip_", sightings);
    Json observers = Json::array();
    for (const ObserverMean& mean : one.observers)
      observers.push_back({{"observer", mean.observer}, {"mean_residual_deg", mean.residual_deg}, {"n", mean.n}});
    instruments.push_back({{"instrument", one.instrument.empty() ? Json() : Json(one.instrument)},
                           {"azimuth", azimuth_json(one)},
                           {"vertical", reversal_json(one.vertical)},
                           {"dip", reversal_json(one.dip)},
                           {"repeatability", repeatability_json(one)},
                           {"observers", std::move(observers)},
                           {"first_date", one.fit.first_date},
                           {"last_date", one.fit.last_date},
                           {"how", one.fit.how},
                           {"remarks", remarks_json(one.remarks)}});
  }
  Json baseline;
  if (report.baseline.problem) {
    baseline = {{"problem", problem_json(*report.baseline.problem)}};
  } else if (report.baseline.fit) {
    add_outcomes(report.baseline, "baseline_", sightings);
    Json offsets = Json::array();
    for (const auto& offset : report.baseline.fit->offsets)
      offsets.push_back({{"instrument", offset.instrument},
                         {"offset_deg", offset.offset_deg},
                         {"sigma_deg", offset.sigma_deg},
                         {"spread_deg", offset.n > 1 ? Json(offset.spread_deg) : Json()},
                         {"n", offset.n}});
    baseline = {{"offsets", std::move(offsets)},
                {"scatter_deg", report.baseline.fit->dof > 0 ? Json(report.baseline.fit->scatter_deg) : Json()},
                {"degrees_of_freedom", report.baseline.fit->dof},
                {"remarks", remarks_json(report.baseline.fit->remarks)}};
  }
  const Json out{
      {"instruments", std::move(instruments)},
      {"baseline", std::move(baseline)},
      {"sightings", std::move(sightings)},
      {"summary", {{"sightings", report.sightings.size()}, {"refused", report.refused}, {"left_out", report.left_out}}},
      {"cautions", cautions(report)},
      {"software", "agonic " AGONIC_VERSION}};
  return out.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace agonic::sightings
