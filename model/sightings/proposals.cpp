#include "model/sightings/proposals.hpp"

#include <algorithm>

#include "model/units/date.hpp"

namespace agonic::sightings {
namespace {

using instrument::IndexError;
using instrument::IndexKind;

bool magnetised(const InstrumentReport& found) {
  const auto says_so = [](const instrument::Remark& remark) { return remark.code == "magnetised"; };
  const auto in = [&](const std::vector<instrument::Remark>& remarks) {
    return std::any_of(remarks.begin(), remarks.end(), says_so);
  };
  return in(found.remarks) || (found.azimuth.fit && in(found.azimuth.fit->remarks));
}

}  // namespace

Result<std::vector<instrument::Proposal>> proposals(const InstrumentReport& found, std::string_view why) {
  const instrument::Fit& fit = found.fit;
  if (magnetised(found))
    return Problem{Code::index_curve, "store", found.instrument,
                   "the instrument is magnetised: its curve is no calibration to be kept",
                   "Have it serviced and fit it again; until then record its index error as unknown"};
  const auto first = parse_date(fit.first_date, {});
  std::vector<instrument::Proposal> out;
  const auto propose = [&](IndexKind kind, const instrument::IndexCurve& curve,
                           const instrument::IndexCovariance& covariance, std::size_t sightings) {
    IndexError error;
    error.kind = kind;
    error.curve = curve;
    error.covariance = covariance;
    error.span.from = first->day;
    error.how = fit.how.substr(0, instrument::kTextMax);
    if (sightings > 0) error.sightings = static_cast<int>(sightings);
    out.push_back({{}, why.empty() ? "fitted from sightings" : std::string(why), error});
  };
  if (first) {
    if (fit.azimuth) propose(IndexKind::azimuth, *fit.azimuth, fit.azimuth_covariance, fit.azimuth_sightings);
    const auto constant = [&](IndexKind kind, const std::optional<double>& value, const std::optional<double>& sigma,
                              std::size_t sightings) {
      if (value) propose(kind, {.a = *value}, instrument::IndexCovariance::constant(sigma.value_or(0)), sightings);
    };
    constant(IndexKind::vertical, fit.vertical_deg, fit.vertical_sigma_deg, fit.vertical_sightings);
    constant(IndexKind::dip, fit.dip_deg, fit.dip_sigma_deg, fit.dip_sightings);
  }
  if (out.empty())
    return Problem{Code::missing_value, "store", found.instrument, "no index error was found that could be kept",
                   "See why in the report"};
  return out;
}

}  // namespace agonic::sightings
