// Rotations are unwrapped about their circular mean, so that pairs on both sides of +-180 stay together. A pair is an
// outlier where it lies from the median by more than kOutlierSigmas robust sigmas (1.4826 times the median absolute
// deviation, which is the sigma of a normal distribution) and by more than kOutlierLeastDeg.
#include "model/survey/rotation.hpp"

#include <algorithm>
#include <cmath>

#include "model/survey/statistics.hpp"
#include "model/survey/thresholds.hpp"
#include "model/units/angle.hpp"

namespace agonic::survey {
namespace {

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  return n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
}

}  // namespace

Result<Rotation> rotation_of(std::span<const LinePair> pairs) {
  Rotation out;
  std::vector<double> turns;
  turns.reserve(pairs.size());
  for (const LinePair& pair : pairs) turns.push_back(wrap_180(pair.found_deg - pair.old_deg));
  const auto mean = circular_mean(turns);
  if (!mean) {
    Problem problem = mean.problem();
    problem.field = "pairs";
    problem.remedy = "Give pairs of an old direction and the same line as found";
    return problem;
  }
  for (double& turn : turns) turn = mean->mean_deg + wrap_180(turn - mean->mean_deg);
  const double middle = median(turns);
  std::vector<double> away;
  away.reserve(turns.size());
  for (const double turn : turns) away.push_back(std::abs(turn - middle));
  constexpr double kNormal = 1.4826;
  const double limit = std::max(threshold::kOutlierSigmas * kNormal * median(away), threshold::kOutlierLeastDeg);
  double sum = 0;
  for (std::size_t i = 0; i < turns.size(); ++i) {
    const bool outlier = turns.size() >= threshold::kPairsAsked && away[i] > limit + 1e-9;
    out.pairs.push_back({wrap_180(turns[i]), 0, outlier});
    if (!outlier) sum += turns[i], ++out.used;
  }
  const double rotation = sum / static_cast<double>(out.used);
  double squares = 0;
  for (std::size_t i = 0; i < turns.size(); ++i) {
    out.pairs[i].residual_deg = turns[i] - rotation;
    if (!out.pairs[i].outlier) squares += std::pow(turns[i] - rotation, 2);
  }
  out.rotation_deg = wrap_180(rotation);
  if (out.used >= 2) {
    out.spread_deg = std::sqrt(squares / static_cast<double>(out.used - 1));
    out.standard_error_deg = *out.spread_deg / std::sqrt(static_cast<double>(out.used));
  }
  return out;
}

double turn_of_offset(double offset, double length) noexcept { return std::atan2(offset, length) / kDegree; }

}  // namespace agonic::survey
