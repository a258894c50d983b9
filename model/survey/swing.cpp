// Quiet level: nights are the hours from 22 to 4 of local mean time, when the ionosphere above is dark. Each local day
// gives the median of its night; the level at a moment is the median of the nights within 15 days of it, of the five
// days with the least range where ten whole days are there (as the quietest days of a month are chosen), else of all.
//
// Uncertainty: the spread of those nights and, for the distance s, (0.1 + s / 1000 km) times the departure, twice that
// in a disturbed hour, never more than the departure itself. Judgement: swings at neighbouring observatories of middle
// latitudes agree to about a tenth within 100 km, and are no help beyond 1000 km.
#include "model/survey/swing.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "model/survey/thresholds.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::survey {
namespace {

using namespace std::chrono;

constexpr double kDayS = 86400;
constexpr std::int64_t kDaysAround = 15;
constexpr std::size_t kWholeDays = 10, kQuietest = 5;
constexpr double kEarthKm = 6371.0;
constexpr double kLevelLeastDeg = 0.01;  // the level is never better known
constexpr minutes kAround{90};
constexpr minutes kGap{10};

double middle(std::vector<double> values) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}
double robust_sigma(const std::vector<double>& values, double about) {
  std::vector<double> away;
  away.reserve(values.size());
  for (const double v : values) away.push_back(std::abs(v - about));
  return 1.4826 * middle(std::move(away));
}

double distance_km(double lat_a, double lon_a, double lat_b, double lon_b) {
  const double s = std::pow(sin_deg((lat_b - lat_a) / 2), 2) +
                   cos_deg(lat_a) * cos_deg(lat_b) * std::pow(sin_deg((lon_b - lon_a) / 2), 2);
  return 2 * kEarthKm * std::asin(std::sqrt(std::clamp(s, 0.0, 1.0)));
}

std::string time_text(sys_seconds time) {
  const auto day = floor<days>(time);
  const year_month_day date{day};
  const auto two = [](auto number) { return (number < 10 ? "0" : "") + std::to_string(number); };
  const auto minute = duration_cast<minutes>(time - day).count();
  return std::to_string(static_cast<int>(date.year())) + "-" + two(static_cast<unsigned>(date.month())) + "-" +
         two(static_cast<unsigned>(date.day())) + "T" + two(minute / 60) + ":" + two(minute % 60) + "Z";
}

}  // namespace

std::string_view word(Activity activity) noexcept {
  constexpr std::array<std::string_view, 4> kWords{"quiet", "unsettled", "disturbed", "storm"};
  return kWords[static_cast<std::size_t>(activity)];
}

std::string_view Swing::rule() noexcept {
  return "Quiet level: the median of the nights (22 to 4 h local mean time) within 15 days of the reading, of the five "
         "days with the least range where ten whole days are in the file.";
}

Swing::Swing(const Observatory& observatory, double horizontal_nt)
    : observatory_(observatory), horizontal_nt_(horizontal_nt), offset_s_(observatory.lon_deg * 240) {
  struct Parts {
    std::vector<double> night, all;
  };
  std::map<std::int64_t, Parts> parts;
  double first = 0;  // declinations are kept on one side of a half turn
  bool any = false;
  for (const Sample& s : observatory.samples) {
    if (!s.declination_deg) continue;
    if (!any) first = *s.declination_deg, any = true;
    const double local = static_cast<double>(s.time.time_since_epoch().count()) + offset_s_;
    const auto day = static_cast<std::int64_t>(std::floor(local / kDayS));
    const double hour = (local - static_cast<double>(day) * kDayS) / 3600;
    const double d = first + wrap_180(*s.declination_deg - first);
    parts[day].all.push_back(d);
    if (hour >= 22 || hour < 4) parts[day].night.push_back(d);
  }
  const double per_day = kDayS / std::max(1.0, static_cast<double>(observatory.cadence.count()));
  for (auto& [number, part] : parts) {
    if (static_cast<double>(part.night.size()) < per_day / 24) continue;  // an hour of night at least
    const auto [least, most] = std::minmax_element(part.all.begin(), part.all.end());
    Day day{number, middle(part.night), 0, *most - *least, static_cast<double>(part.all.size()) >= 0.9 * per_day};
    day.spread_deg = robust_sigma(part.night, day.night_deg);
    days_.push_back(day);
  }
}

std::optional<Swing::Level> Swing::level_at(std::int64_t day) const {
  std::vector<Day> near;
  for (const Day& d : days_)
    if (std::abs(d.number - day) <= kDaysAround) near.push_back(d);
  if (near.empty()) return std::nullopt;
  std::vector<Day> whole;
  std::copy_if(near.begin(), near.end(), std::back_inserter(whole), [](const Day& d) { return d.whole; });
  if (whole.size() >= kWholeDays) {
    std::stable_sort(whole.begin(), whole.end(), [](const Day& a, const Day& b) { return a.range_deg < b.range_deg; });
    whole.resize(kQuietest);
    near = whole;
  }
  std::vector<double> nights;
  nights.reserve(near.size());
  for (const Day& d : near) nights.push_back(d.night_deg);
  Level out;
  out.nights = nights.size();
  out.deg = middle(nights);
  out.sigma_deg =
      std::max(kLevelLeastDeg, nights.size() >= 3 ? robust_sigma(nights, out.deg) : near.front().spread_deg);
  return out;
}

Result<Departure> Swing::at(const Moment& moment) const {
  const auto& samples = observatory_.samples;
  const std::string when = time_text(moment.time);
  if (moment.time < samples.front().time || moment.time > samples.back().time)
    return Problem{Code::out_of_range, "time", when,
                   "the file runs from " + time_text(samples.front().time) + " to " + time_text(samples.back().time),
                   "Give a file of the day of the reading; times are UTC"};
  // The nearest values on both sides, unless they are too far apart.
  const auto later = std::lower_bound(samples.begin(), samples.end(), moment.time,
                                      [](const Sample& s, sys_seconds t) { return s.time < t; });
  auto after = later;
  while (after != samples.end() && !after->declination_deg) ++after;
  auto before = later;
  while (before != samples.begin() && !(before->declination_deg && before->time <= moment.time)) --before;
  const auto gap = std::max<seconds>(kGap, observatory_.cadence * 3 / 2);
  if (after == samples.end() || !before->declination_deg || before->time > moment.time ||
      after->time - before->time > gap)
    return Problem{Code::missing_value, "time", when, "the file has no values about this time",
                   "Give another file, or take the reading as it is"};
  Departure out;
  const double span = static_cast<double>((after->time - before->time).count());
  const double part = span > 0 ? static_cast<double>((moment.time - before->time).count()) / span : 0;
  out.observed_deg =
      wrap_180(*before->declination_deg + part * wrap_180(*after->declination_deg - *before->declination_deg));

  const double local = static_cast<double>(moment.time.time_since_epoch().count()) + offset_s_;
  const auto level = level_at(static_cast<std::int64_t>(std::floor(local / kDayS)));
  if (!level)
    return Problem{Code::missing_value, "time", when, "the file has no night from which to take the quiet level",
                   "Give the whole day, or several"};
  out.quiet_level_deg = level->deg;
  out.nights = level->nights;
  out.departure_deg = wrap_180(out.observed_deg - level->deg);

  // The three hours about the moment.
  double horizontal = horizontal_nt_, least = 0, most = 0;
  const Sample* last = nullptr;
  for (auto s = std::lower_bound(samples.begin(), samples.end(), moment.time - kAround,
                                 [](const Sample&a, sys_seconds t) { return a.time < t; });
       s != samples.end() && s->time <= moment.time + kAround; ++s) {
    if (!s->declination_deg) continue;
    if (s->horizontal_nt) horizontal = *s->horizontal_nt;
    const double d = wrap_180(*s->declination_deg - level->deg);
    least = last == nullptr ? d : std::min(least, d);
    most = last == nullptr ? d : std::max(most, d);
    if (last != nullptr && s->time - last->time <= minutes{1})
      out.rate_nt_per_minute = std::max(out.rate_nt_per_minute,
                                        horizontal * std::abs(wrap_180(*s->declination_deg - *last->declination_deg)) *
                                            kDegree * 60 / static_cast<double>((s->time - last->time).count()));
    last = &*s;
  }
  out.range_deg = most - least;
  out.range_nt = horizontal * out.range_deg * kDegree;
  namespace limit = threshold;
  const std::string range = format_fixed(out.range_nt, 0) + " nT (" + format_fixed(out.range_deg, 2) +
                            " deg) east and west within three hours";
  if (out.rate_nt_per_minute >= limit::kStormNtPerMinute) {
    out.activity = Activity::storm;
    out.why = format_fixed(out.rate_nt_per_minute, 0) + " nT in a minute; " + range;
  } else {
    out.activity = out.range_nt >= limit::kStormNt       ? Activity::storm
                   : out.range_nt >= limit::kDisturbedNt ? Activity::disturbed
                   : out.range_nt >= limit::kUnsettledNt ? Activity::unsettled
                                                         : Activity::quiet;
    out.why = range;
    if (std::abs(out.departure_deg) >= limit::kDisturbedDeg && out.activity < Activity::disturbed) {
      out.activity = Activity::disturbed;
      out.why = format_fixed(std::abs(out.departure_deg), 2) + " deg off the quiet level; " + range;
    }
  }

  double share = 0.1;
  if (moment.lat_deg && moment.lon_deg) {
    out.distance_km = distance_km(observatory_.lat_deg, observatory_.lon_deg, *moment.lat_deg, *moment.lon_deg);
    if (*out.distance_km > limit::kNearKm)
      return Problem{Code::out_of_range,
                     "place",
                     {},
                     "it is " + format_fixed(*out.distance_km, 0) + " km from the observatory, more than " +
                         format_fixed(limit::kNearKm, 0) + ": the swing there says little",
                     "Give a file of an observatory nearer by"};
    share += *out.distance_km / limit::kNearKm;
  }
  if (out.activity >= Activity::disturbed) share *= 2;
  out.sigma_deg = std::hypot(level->sigma_deg, std::min(share, 1.0) * out.departure_deg);
  return out;
}

ExpectedSwing expected_swing(double lat_deg) noexcept {
  // Up to this latitude, degrees; range of a usual day. 0.3 at 55 degrees and 0.2 to 0.5 in Britain are recorded;
  // lower latitudes swing less, as their horizontal field is stronger. One reading: 0.28 of the range.
  struct Belt {
    double to_deg, range_deg;
  };
  constexpr std::array<Belt, 6> kBelts{{{20, 0.1}, {40, 0.15}, {50, 0.2}, {60, 0.3}, {65, 0.6}, {91, 1.5}}};
  constexpr double kShare = 0.28;
  for (const Belt& belt : kBelts)
    if (std::abs(lat_deg) < belt.to_deg) return {belt.range_deg, kShare * belt.range_deg};
  return {kBelts.back().range_deg, kShare * kBelts.back().range_deg};
}

}  // namespace agonic::survey
