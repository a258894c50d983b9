#include "model/instrument/in_force.hpp"

#include <algorithm>

#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

using Day = std::chrono::sys_days;

template <class What>
struct Chosen {
  const Version<What>* version = nullptr;
  std::vector<std::string> notes;
};

std::string v(int version) { return "version " + std::to_string(version); }

// The last recorded of those that cover the day.
template <class What, class Wanted>
Chosen<What> choose(const std::vector<Version<What>>& versions, const Date& date, const std::string& what,
                    const Wanted& wanted) {
  Chosen<What> chosen;
  for (const Version<What>& version : versions)
    if (wanted(version.what) && version.what.span.covers(date.day)) chosen.version = &version;
  if (chosen.version == nullptr) return chosen;
  const Span& span = chosen.version->what.span;
  for (const Version<What>& version : versions) {
    if (&version == chosen.version || !wanted(version.what) || !version.what.span.covers(date.day)) continue;
    // One that was left open ends where the next begins: that is how records are kept, and no overlap.
    if (!version.what.span.until && version.what.span.from < span.from) continue;
    chosen.notes.push_back(what + ": " + v(version.recorded.version) + " covers " + iso_day(date.day) + " too; " +
                           v(chosen.version->recorded.version) + ", recorded later, is taken");
  }
  if (date.earliest != Day{} && date.earliest < span.from && date.earliest < date.day)
    chosen.notes.push_back(what + ": " + v(chosen.version->recorded.version) + " holds from " + iso_day(span.from) +
                           ", and the reading may be from before");
  return chosen;
}

template <class What, class Wanted>
std::string lacking(const std::vector<Version<What>>& versions, Day day, const Wanted& wanted) {
  std::optional<Day> before, after;
  for (const Version<What>& version : versions) {
    if (!wanted(version.what)) continue;
    const Span& span = version.what.span;
    if (span.until && *span.until < day) before = std::max(before.value_or(*span.until), *span.until);
    if (span.from > day) after = std::min(after.value_or(span.from), span.from);
  }
  std::string text = "no azimuth index error is recorded for " + iso_day(day);
  if (before) text += "; the last one before ends on " + iso_day(*before);
  if (after) text += "; the next begins on " + iso_day(*after);
  return text;
}

}  // namespace

Result<InForce> in_force(const Record& record, const Date& date) {
  InForce out;
  out.description = record.description();
  out.description_version = record.descriptions.back().recorded.version;
  out.named = record.id + " as recorded:";
  bool stated = false;
  const auto take_notes = [&](std::vector<std::string>& notes) {
    std::move(notes.begin(), notes.end(), std::back_inserter(out.notes));
  };
  const auto name = [&](std::string_view what, int version) {
    out.named += (out.named.back() == ':' ? " " : ", ") + std::string(what) + " " + v(version);
  };
  for (const IndexKind kind : {IndexKind::azimuth, IndexKind::vertical, IndexKind::dip}) {
    const auto wanted = [kind](const IndexError& error) { return error.kind == kind; };
    auto chosen = choose(record.index_errors, date, std::string(word(kind)) + " index error", wanted);
    if (chosen.version == nullptr) {
      if (kind == IndexKind::azimuth) out.azimuth_lacking = lacking(record.index_errors, date.day, wanted);
      continue;
    }
    const auto& [recorded, error] = *chosen.version;
    take_notes(chosen.notes);
    if (!error.known) {
      const std::string text = "the " + std::string(word(kind)) + " index error is recorded as not known from " +
                               iso_day(error.span.from) + " (" + v(recorded.version) + ": " +
                               printable(recorded.why, 200) + ")";
      if (kind == IndexKind::azimuth)
        out.azimuth_lacking = text;
      else
        out.notes.push_back(text);
      if (kind == IndexKind::vertical) out.vertical_unknown = true;
      if (kind == IndexKind::dip) out.dip_unknown = true;
      continue;
    }
    stated = true;
    name(word(kind), recorded.version);
    if (kind == IndexKind::azimuth)
      out.azimuth = AzimuthInForce{error.curve, error.covariance, recorded.version};
    else
      (kind == IndexKind::vertical ? out.vertical : out.dip) =
          AngleInForce{error.curve.a, error.constant_sigma_deg(), recorded.version};
  }
  auto set = choose(record.settings, date, "setting of the circle", [](const CircleSet&) { return true; });
  if (set.version != nullptr) {
    take_notes(set.notes);
    out.setting = SettingInForce{set.version->what.declination_deg, set.version->recorded.version};
    name("setting", set.version->recorded.version);
  }
  if (!stated)
    return Problem{Code::instrument_unknown, "instrument", record.id, out.azimuth_lacking,
                   "Record what it reads wrong on that date, or give the index errors in columns"};
  return out;
}

}  // namespace agonic::instrument
