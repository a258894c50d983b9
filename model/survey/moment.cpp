// Instants as people write them: never without saying which clock.
#include <cmath>
#include <string>

#include "model/survey/sun.hpp"
#include "model/units/date.hpp"
#include "model/units/number.hpp"

namespace agonic::survey {
namespace {

using namespace std::chrono;

std::string two(long value) { return (value < 10 ? "0" : "") + std::to_string(value); }

// The offset at the end of a time of day; empty where there is none. What it says was checked with the date.
std::optional<minutes> offset_of(std::string_view time) {
  if (time.empty()) return std::nullopt;
  if (time.back() == 'Z' || time.back() == 'z') return minutes(0);
  const auto sign = time.find_first_of("+-");
  if (sign == std::string_view::npos) return std::nullopt;
  std::string digits;
  for (const char c : time.substr(sign + 1))
    if (c != ':') digits += c;
  digits.resize(4, '0');
  const auto number = parse_number(digits);
  if (!number) return std::nullopt;
  const long value = std::lround(*number);
  return minutes((time[sign] == '-' ? -1 : 1) * (value / 100 * 60 + value % 100));
}

}  // namespace

Result<Moment> parse_moment(std::string_view raw, sys_days today, bool day_serves) {
  const std::string_view text = trim(raw);
  const std::string shown = "Write it as 2028-07-04T15:30Z, or with the offset of the clock: 2028-07-04T10:30-05:00";
  const auto problem = [&](Code code, std::string message) {
    return Problem{code, "time", std::string(raw), std::move(message), shown};
  };
  if (text.empty()) return problem(Code::missing_value, "the time is missing");
  DateContext context{today};
  context.field = "time";
  context.may_lie_ahead = true;
  const auto t = text.find_first_of("Tt ");
  const bool word = lower(text) == "today";
  const bool with_time = !word && t != std::string_view::npos && (t == 8 || t == 10);
  if (text.find('/') != std::string_view::npos) return problem(Code::date_unreadable, "a span is no instant");
  auto date = parse_date(text, context);
  if (!date) {
    if (date.problem().remedy.find("2008-07-01") != std::string::npos) date.problem().remedy = shown;
    return date.problem();
  }
  Moment out;
  out.instant = Instant(date->day) + duration<double>(date->seconds_of_day);
  if (with_time) {
    const auto offset = offset_of(trim(text.substr(t + 1)));
    if (!offset)
      return problem(Code::date_ambiguous,
                     "without Z or an offset this could be any clock: the sun moves a degree in 4 minutes");
    out.offset = *offset;
  } else if (!day_serves) {
    return problem(Code::missing_value, "the time of day is missing");
  } else if (!word && (!date->note.empty() || text.size() < 8)) {
    return problem(Code::date_unreadable, "this is no single day");
  } else {
    out.day_only = true;
  }
  const int year = static_cast<int>(year_month_day(floor<days>(out.instant)).year());
  if (year < kSunFirstYear || year > kSunLastYear) {
    Problem outside = problem(Code::out_of_range, "the sun is computed for the years 1590 to 2100");
    outside.remedy = "Give a time in these years";
    return outside;
  }
  return out;
}

std::string moment_text(Instant instant, minutes offset) {
  const auto local = round<seconds>(instant + offset);
  const auto day = floor<days>(local);
  const long s = (local - day).count();
  std::string text = iso_day(day) + "T" + two(s / 3600) + ":" + two(s / 60 % 60) + ":" + two(s % 60);
  if (offset.count() == 0) return text + "Z";
  const long off = std::abs(offset.count());
  return text + (offset.count() < 0 ? "-" : "+") + two(off / 60) + ":" + two(off % 60);
}

}  // namespace agonic::survey
