#include "model/instrument/service_report.hpp"

#include <algorithm>
#include <cmath>

#include "model/units/date.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

// The largest |index| over whole degrees of azimuth: between them it changes by far less than it is known.
double largest_of(const IndexCurve& curve) {
  double largest = 0;
  for (int m = 0; m < 360; ++m) largest = std::max(largest, std::abs(curve.at(m)));
  return largest;
}

std::chrono::sys_days years_after(std::chrono::sys_days day, int years) {
  std::chrono::year_month_day date(day);
  date += std::chrono::years(years);
  return date.ok() ? std::chrono::sys_days(date)
                   : std::chrono::sys_days(date.year() / date.month() / std::chrono::last);
}

}  // namespace

std::vector<Finding> service_findings(const Record& record, std::chrono::sys_days day) {
  std::vector<Finding> findings;
  const Version<IndexError>* held = nullptr;  // recorded last, as in_force() takes it
  for (const Version<IndexError>& version : record.index_errors)
    if (version.what.kind == IndexKind::azimuth && version.what.span.covers(day)) held = &version;
  if (held == nullptr) {
    findings.push_back({"no-record", "no azimuth index error is recorded for " + iso_day(day)});
  } else if (!held->what.known) {
    findings.push_back({"not-known", "the azimuth index error is recorded as not known from " +
                                         iso_day(held->what.span.from) + ": " + printable(held->recorded.why, 200)});
  } else {
    const IndexCurve& curve = held->what.curve;
    const bool varies = curve.b != 0 || curve.c != 0 || curve.d != 0 || curve.e != 0;
    const double varying = varies ? largest_of({0, curve.b, curve.c, curve.d, curve.e}) : 0;
    const double largest = largest_of(curve);
    if (varying > service_limit::magnetised_deg)
      findings.push_back({"magnetised", "the index error varies by " + format_fixed(varying, 1) +
                                            " degrees over the circle: damage or iron, not calibration"});
    else if (std::abs(curve.a) > service_limit::magnetised_deg)
      findings.push_back({"left-set", "the index error is " + format_fixed(curve.a, 1) +
                                          " degrees: was the circle left set when it was found?"});
    else if (largest > service_limit::index_deg)
      findings.push_back({"large-index-error", "the index error reaches " + format_fixed(largest, 1) + " degrees"});
    const std::chrono::sys_days found = held->what.span.from;
    if (day > years_after(found, service_limit::stale_years))
      findings.push_back({"stale-fit", "the index error was found in " + iso_day(found).substr(0, 7) + ", more than " +
                                           std::to_string(service_limit::stale_years) + " years ago"});
  }
  for (auto setting = record.settings.rbegin(); setting != record.settings.rend(); ++setting) {
    if (!setting->what.span.covers(day)) continue;
    if (!setting->what.declination_deg)
      findings.push_back({"setting-unknown", "what is set on the circle is recorded as not known"});
    break;
  }
  return findings;
}

}  // namespace agonic::instrument
