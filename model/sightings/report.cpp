#include "model/sightings/report.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "model/survey/sun.hpp"
#include "model/units/number.hpp"

namespace agonic::sightings {
namespace {

using instrument::Remark;

std::string counted(std::size_t n, const char* one, const char* many) {
  return std::to_string(n) + " " + (n == 1 ? one : many);
}

template <class F>
bool left_out(const Part<F>& part, std::size_t sighting) {
  if (!part.fit) return false;
  const auto at = std::find(part.sightings.begin(), part.sightings.end(), sighting);
  return at != part.sightings.end() && !part.fit->outcomes[static_cast<std::size_t>(at - part.sightings.begin())].used;
}

void fit_azimuth(const Report& report, InstrumentReport& out) {
  std::vector<instrument::Observation> observations;
  double declinations = 0, swing = 0, common = 0;
  for (const std::size_t i : out.azimuth.sightings) {
    const Sighting& s = report.sightings[i];
    observations.push_back(*s.observation);
    declinations += s.declination_deg;
    common = std::max(common, s.declination_sigma_deg);
    swing = std::max(swing, instrument::daily_swing_deg(*s.lat_deg));
  }
  if (observations.empty()) return;
  out.context = {common, swing, declinations / static_cast<double>(observations.size())};
  auto fit = instrument::fit_azimuth(observations, out.context);
  if (!fit) {
    out.azimuth.problem = fit.problem();
    return;
  }
  out.fit.azimuth = fit->curve;
  out.fit.azimuth_covariance = fit->covariance;
  out.fit.azimuth_sightings = fit->used;
  out.remarks.insert(out.remarks.end(), fit->remarks.begin(), fit->remarks.end());
  out.azimuth.fit = *std::move(fit);
}

void fit_pairs(const Report& report, Part<instrument::ReversalFit>& part,
               std::optional<instrument::ReversedPair> Sighting::*pair, std::vector<Remark>& remarks) {
  std::vector<instrument::ReversedPair> pairs;
  for (const std::size_t i : part.sightings) pairs.push_back(*(report.sightings[i].*pair));
  if (pairs.empty()) return;
  auto fit = instrument::fit_reversal(pairs);
  if (!fit) {
    part.problem = fit.problem();
    return;
  }
  remarks.insert(remarks.end(), fit->remarks.begin(), fit->remarks.end());
  part.fit = *std::move(fit);
}

void add_source_remarks(const Report& report, InstrumentReport& out) {
  bool high = false, no_clock = false, site_unsure = false;
  std::string off, rejected;  // rows
  for (const std::size_t i : out.azimuth.sightings) {
    const Sighting& s = report.sightings[i];
    site_unsure |= s.site_declination && s.declination_sigma_deg == 0;
    if (!s.sun_elevation_deg) continue;
    high |= *s.sun_elevation_deg > survey::kSunHighDeg;
    no_clock |= !s.clock_stated;
    const double differs = std::abs(s.observation->index_deg());
    if (differs > kSunDiffersDeg) {
      std::string& rows = differs > kSunRejectDeg ? rejected : off;
      rows += (rows.empty() ? "" : ", ") + std::to_string(s.row);
    }
  }
  if (site_unsure)
    out.remarks.push_back({"site-sigma-not-stated",
                           "A site_declination stands without its site_declination_sigma and is "
                           "taken as exact: the constant is less sure than it looks."});
  if (!off.empty() || !rejected.empty())
    out.remarks.push_back({"sun-differs", "By the sun the needle stands off the declination: by more than " +
                                              format_fixed(kSunDiffersDeg, 0) + " degrees at row " +
                                              (off.empty() ? rejected : off) +
                                              (off.empty() || rejected.empty() ? "" : ", " + rejected) +
                                              (rejected.empty() ? ""
                                                                : "; row " + rejected + " by more than " +
                                                                      format_fixed(kSunRejectDeg, 0) + ": reject it") +
                                              ". Iron, rock or the instrument? Sight again a few steps away."});
  if (high)
    out.remarks.push_back({"sun-high",
                           "Some sightings are of a sun above 30 degrees, where clock and plumb errors weigh "
                           "more: take it low."});
  if (no_clock)
    out.remarks.push_back({"clock-not-stated",
                           "The clock of some sun sightings is taken as exact: give time_sigma in "
                           "seconds (a minute is a quarter of a degree and more)."});
}

void add_observers(const Report& report, InstrumentReport& out) {
  if (!out.azimuth.fit) return;
  std::map<std::string, ObserverMean> means;
  for (std::size_t k = 0; k < out.azimuth.sightings.size(); ++k) {
    const auto& outcome = out.azimuth.fit->outcomes[k];
    if (!outcome.used) continue;
    auto& mean = means[report.sightings[out.azimuth.sightings[k]].observer];
    mean.residual_deg += outcome.residual_deg;
    ++mean.n;
  }
  if (means.size() < 2) return;
  for (auto& [observer, mean] : means)
    out.observers.push_back({observer, mean.residual_deg / static_cast<double>(mean.n), mean.n});
}

// Readings of one line by this instrument, mistakes left out. The same line looked along both ways is two lines.
void add_repeatability(const Report& report, std::size_t of, InstrumentReport& out) {
  std::vector<instrument::RepeatedReading> readings;
  double stated = 0;
  bool all_stated = true;
  for (std::size_t i = 0; i < report.sightings.size(); ++i) {
    const Sighting& s = report.sightings[i];
    if (s.problem || !s.needle_deg || s.line_name.empty() || s.instrument != report.instruments[of].instrument ||
        s.target != Target::line || left_out(out.azimuth, i) || left_out(report.baseline, i))
      continue;
    // Against a known line, so that the declination of another day or place does not count as scatter.
    const double azimuth = s.observation ? s.observation->index_deg() : *s.needle_deg;
    const char* way = s.backsight ? "\nback" : "";
    readings.push_back({s.line_name + way + (s.observation ? "\nknown" : ""), azimuth});
    all_stated = all_stated && s.sigma_stated;
    stated = std::max(stated, s.reading_sigma_deg);
  }
  out.repeatability = instrument::repeatability(readings, all_stated ? std::optional(stated) : std::nullopt);
}

void describe(const Report& report, InstrumentReport& out) {
  std::set<std::string> days;
  std::size_t lines = 0, suns = 0;
  for (std::size_t k = 0; k < out.azimuth.sightings.size(); ++k) {
    const Sighting& s = report.sightings[out.azimuth.sightings[k]];
    if (!s.day.empty()) days.insert(s.day);
    if (out.azimuth.fit && !out.azimuth.fit->outcomes[k].used) continue;
    ++(s.target == Target::line ? lines : suns);
  }
  for (const auto* part : {&out.vertical, &out.dip})
    for (const std::size_t i : part->sightings)
      if (!report.sightings[i].day.empty()) days.insert(report.sightings[i].day);
  if (!days.empty()) out.fit.first_date = *days.begin(), out.fit.last_date = *days.rbegin();
  std::string& how = out.fit.how;
  const auto add = [&](const std::string& text) { how += (how.empty() ? "" : "; ") + text; };
  if (out.azimuth.fit) {
    std::string text;
    if (lines > 0) text = counted(lines, "sighting of a known line", "sightings of known lines");
    if (suns > 0) text += (text.empty() ? "" : " and ") + counted(suns, "of the sun", "of the sun");
    if (out.azimuth.fit->left_out > 0) text += ", " + std::to_string(out.azimuth.fit->left_out) + " left out";
    add(text + ", least squares");
  }
  if (out.vertical.fit) add(counted(out.vertical.fit->used, "pair", "pairs") + " of fore and back vertical angles");
  if (out.dip.fit) add(counted(out.dip.fit->used, "dip", "dips") + " read both ways");
  for (const Part<instrument::ReversalFit>* part : {&out.vertical, &out.dip}) {
    if (!part->fit) continue;
    const bool dip = part == &out.dip;
    (dip ? out.fit.dip_deg : out.fit.vertical_deg) = part->fit->index_deg;
    (dip ? out.fit.dip_sigma_deg : out.fit.vertical_sigma_deg) = part->fit->sigma_deg;
    (dip ? out.fit.dip_sightings : out.fit.vertical_sightings) = part->fit->used;
  }
}

// Lines that more than one instrument read, whatever is known of them.
void fit_baseline(Report& report) {
  std::map<std::string, std::set<std::string>> of_line;
  std::set<std::string> unknown;  // lines of which a reading has no known direction
  const auto counts = [](const Sighting& s) {
    return !s.problem && s.needle_deg && !s.line_name.empty() && s.target == Target::line;
  };
  for (const Sighting& s : report.sightings)
    if (counts(s)) {
      of_line[s.line_name].insert(s.instrument);
      if (!s.observation) unknown.insert(s.line_name);
    }
  std::vector<instrument::BaselineReading> readings;
  for (std::size_t i = 0; i < report.sightings.size(); ++i) {
    const Sighting& s = report.sightings[i];
    if (!counts(s) || of_line[s.line_name].size() < 2) continue;
    report.baseline.sightings.push_back(i);
    const bool known = !unknown.contains(s.line_name);
    // A backsight is turned to look the same way as the others; the truth of a known one is turned already.
    const double along = wrap_360(*s.needle_deg + (s.backsight && !known ? 180 : 0));
    readings.push_back({s.instrument, s.line_name, along, s.reading_sigma_deg, s.sigma_stated,
                        known ? s.observation->magnetic_deg : 0});
  }
  if (readings.empty()) return;
  auto fit = instrument::fit_baseline(readings);
  if (fit)
    report.baseline.fit = *std::move(fit);
  else
    report.baseline.problem = fit.problem();
}

}  // namespace

std::string_view status(const Report& report, std::size_t i) {
  const Sighting& s = report.sightings[i];
  if (s.problem) return "refused";
  if (left_out(report.baseline, i)) return "left_out";
  bool compared_only = s.needle_deg && !s.observation && !s.vertical && !s.dip;
  for (const InstrumentReport& one : report.instruments)
    if (one.instrument == s.instrument &&
        (left_out(one.azimuth, i) || left_out(one.vertical, i) || left_out(one.dip, i)))
      return "left_out";
  return compared_only ? "compared" : "used";
}

Report fit(std::vector<Sighting> sightings) {
  Report report;
  report.sightings = std::move(sightings);
  for (std::size_t i = 0; i < report.sightings.size(); ++i) {
    const Sighting& s = report.sightings[i];
    if (s.problem) {
      ++report.refused;
      continue;
    }
    auto at = std::find_if(report.instruments.begin(), report.instruments.end(),
                           [&](const InstrumentReport& one) { return one.instrument == s.instrument; });
    if (at == report.instruments.end()) {
      at = report.instruments.emplace(at);
      at->instrument = s.instrument;
    }
    if (s.observation) at->azimuth.sightings.push_back(i);
    if (s.vertical) at->vertical.sightings.push_back(i);
    if (s.dip) at->dip.sightings.push_back(i);
  }
  fit_baseline(report);
  for (std::size_t k = 0; k < report.instruments.size(); ++k) {
    InstrumentReport& one = report.instruments[k];
    fit_azimuth(report, one);
    fit_pairs(report, one.vertical, &Sighting::vertical, one.remarks);
    fit_pairs(report, one.dip, &Sighting::dip, one.remarks);
    add_source_remarks(report, one);
    add_observers(report, one);
    add_repeatability(report, k, one);
    describe(report, one);
  }
  for (std::size_t i = 0; i < report.sightings.size(); ++i) report.left_out += status(report, i) == "left_out";
  return report;
}

Result<Report> fit(const field::Catalogue& catalogue, geodesy::Grids& grids, const std::vector<Row>& rows,
                   const Parameters& parameters, std::chrono::sys_days today) {
  const auto rules = parse_rules(parameters, today);
  if (!rules) return rules.problem();
  if (auto problem = check_defaults(*rules)) return *std::move(problem);
  Reader reader(catalogue, grids, *rules);
  std::vector<Sighting> sightings;
  sightings.reserve(rows.size());
  for (const Row& row : rows) sightings.push_back(reader.read(row));
  return fit(std::move(sightings));
}

std::vector<std::string> cautions(const Report& report) {
  std::vector<std::string> out{
      "An index error is reading minus truth: it is taken off a reading, never added.",
      "Iron, power lines and rock near the place of the test go into the result: test where there are none, and at a "
      "second place."};
  const bool sun = std::any_of(report.sightings.begin(), report.sightings.end(),
                               [](const Sighting& s) { return s.target != Target::line; });
  if (sun) out.push_back("Never look at the sun or sight it directly: use the shadow of a plumb line.");
  return out;
}

}  // namespace agonic::sightings
