#include "model/instrument/fit_parts.hpp"

#include <algorithm>
#include <cmath>

#include "model/units/angle.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {

Agreement agreement_of(const std::vector<double>& angles) {
  Agreement best;
  double best_sum = 0;
  for (const double centre : angles) {
    std::vector<std::size_t> members;
    double sum = 0;
    for (std::size_t i = 0; i < angles.size(); ++i) {
      const double off = std::abs(wrap_180(angles[i] - centre));
      if (off > kAgreeDeg) continue;
      members.push_back(i);
      sum += off;
    }
    if (members.size() < best.members.size() || (members.size() == best.members.size() && sum >= best_sum)) continue;
    best = {centre, std::move(members)};
    best_sum = sum;
  }
  if (best.members.empty()) return best;
  std::vector<double> off;
  for (const std::size_t i : best.members) off.push_back(wrap_180(angles[i] - best.centre_deg));
  std::nth_element(off.begin(), off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2), off.end());
  best.centre_deg = wrap_180(best.centre_deg + off[off.size() / 2]);
  best.members.clear();
  for (std::size_t i = 0; i < angles.size(); ++i)
    if (std::abs(wrap_180(angles[i] - best.centre_deg)) <= kAgreeDeg) best.members.push_back(i);
  return best;
}

double largest_gap(std::vector<double> headings) {
  if (headings.empty()) return 360;
  std::sort(headings.begin(), headings.end());
  double gap = headings.front() + 360 - headings.back();
  for (std::size_t i = 1; i < headings.size(); ++i) gap = std::max(gap, headings[i] - headings[i - 1]);
  return gap;
}

std::size_t headings_apart(std::vector<double> headings) {
  if (headings.empty()) return 0;
  std::sort(headings.begin(), headings.end());
  std::size_t count = 1;
  double last = headings.front();
  for (const double heading : headings)
    if (heading - last >= kHeadingApartDeg && headings.front() + 360 - heading >= kHeadingApartDeg)
      ++count, last = heading;
  return count;
}

Equation equation_of(const Observation& observation, double centre, int parameters) {
  Equation out;
  const double m = observation.magnetic_deg;
  out.design.resize(1, parameters);
  out.design(0) = 1;
  if (parameters >= 3) out.design(1) = sin_deg(m), out.design(2) = cos_deg(m);
  if (parameters >= 5) out.design(3) = sin_deg(2 * m), out.design(4) = cos_deg(2 * m);
  out.value = centre + wrap_180(observation.index_deg() - centre);
  out.sigma = observation.sigma_deg;
  return out;
}

Problem disagreement(std::span<const Observation> observations) {
  std::vector<double> mirrored;
  for (const Observation& o : observations)
    mirrored.push_back(wrap_180(360 - o.reading_deg - o.set_deg - o.magnetic_deg));
  Problem problem{
      Code::contradiction, "azimuth", "",
      "no more than half of the sightings agree with each other within " + format_fixed(kAgreeDeg, 0) + " degrees",
      "Check places, lines and signs, and take more sightings"};
  if (2 * agreement_of(mirrored).members.size() > observations.size())
    problem.remedy =
        "Read as 360 minus the reading most of them agree: the figures of this dial run the other way. "
        "Give the readings so, if that is true of this instrument";
  return problem;
}

void add_remarks(std::span<const Observation> observations, const FitContext& context, bool stated, AzimuthFit& fit) {
  const double swing = std::hypot(fit.curve.b, fit.curve.c) + std::hypot(fit.curve.d, fit.curve.e);
  const double a = fit.curve.a;
  if (std::abs(wrap_180(a - 180)) <= kAgreeDeg) {
    fit.remarks.push_back({"all-wrong-end",
                           "The constant is near 180: is the needle's other end the north end, or were "
                           "all lines looked along the other way?"});
  } else if (std::abs(a) > kLargeConstantDeg) {
    std::string text = "The constant is larger than 5 degrees: was the circle left set?";
    if (context.declination_deg && std::abs(*context.declination_deg) > kLooksSetDeg) {
      const double d = *context.declination_deg;
      if (std::abs(wrap_180(a - d)) <= kLooksSetDeg)
        text += " It is near the declination " + declination_text(d) +
                ": it looks so. Put that in set_declination, or turn the circle back.";
      else if (std::abs(wrap_180(a + d)) <= kLooksSetDeg)
        text += " It is near the declination with the wrong sign (" + declination_text(d) +
                "): it looks set to the wrong side.";
    }
    fit.remarks.push_back({"constant-large", text});
  }
  if (swing > kLargeCurveDeg)
    fit.remarks.push_back({"magnetised",
                           "The curve swings by more than 5 degrees: this instrument is magnetised, its "
                           "needle or pivot bent, or iron was near. That is damage, not calibration: "
                           "have it serviced, and take the sightings again away from iron."});
  if (observations.size() == 1)
    fit.remarks.push_back({"one-sighting", "One sighting cannot show a mistake: take at least three."});
  else if (fit.used <= 2)
    fit.remarks.push_back({"few-sightings", "Two sightings hardly show a mistake: take more."});
  if (!stated)
    fit.remarks.push_back({"sigma-assumed", "No reading_sigma for some: " + format_trimmed(kUsualReadingSigmaDeg) +
                                                " degrees assumed (common practice), corrected by the scatter."});
  if (context.common_sigma_deg > 0)
    fit.remarks.push_back(
        {"declination-common",
         "The declination is known to " + format_fixed(context.common_sigma_deg, 2) +
             " (1-sigma), and its error is the same in all sightings of a place: more of them do not make the constant "
             "better, a declination observed there does (site_declination with its sigma)."});
  if (context.floor_sigma_deg > 0)
    fit.remarks.push_back({"daily-swing", "The daily swing of the needle, " + format_fixed(context.floor_sigma_deg, 1) +
                                              " degrees here (1-sigma, common practice), is the least uncertainty "
                                              "of the constant."});
}

}  // namespace agonic::instrument
