// Dates of readings: ISO 8601 text to an instant and a decimal year, proleptic Gregorian.
#pragma once

#include <chrono>
#include <string>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic {

/// A date as it is used in a computation.
struct Date {
  /// year + (day of year - 1 + fraction of day) / days in the year
  double decimal_year = 0;
  std::chrono::sys_days day;  ///< the UTC day the instant lies in
  double seconds_of_day = 0;  ///< [0, 86400)
  std::string iso;            ///< "2008-07-01", or "2008-07-16T12:00Z" where the time of day is not 00:00
  std::string note;           ///< what was meant, for the remark ("2008-07 taken as mid-month"); else empty
  /// written as the 1st of January, or as 2008.0, which is how software writes a bare year: often only the year was
  /// known
  bool first_of_january = false;
  std::chrono::sys_days earliest;  ///< the first day it can have been: of a month, a year or a span their first day
};

/// The order of 03/04/2005. Undeclared: such a date is refused with both readings.
enum class DateOrder { undeclared, dmy, mdy, ymd };
Result<DateOrder> parse_date_order(std::string_view text);

/// What a date text is read against. `today` comes from outside: the model has no clock.
struct DateContext {
  std::chrono::sys_days today{};
  DateOrder order = DateOrder::undeclared;
  std::string_view field = "date";  ///< named in problems
  bool may_lie_ahead = false;       ///< of a trip, not of a reading: then 28 may be 1928 or 2028, and is refused
};

/// Reads `2008-07-01`, `20080701`, `2008-183`, with `T12:30[:15[.5]]` and `Z` or an offset; `2008-07` (mid-month),
/// `2008` (mid-year), `2008.0` (decimal year, needs its point), `A/B` (the mean), `today`; with a declared order also
/// 1.7.2008, 1/7/08. A time without offset is UTC. Refuses everything else, saying how it could be meant.
Result<Date> parse_date(std::string_view text, const DateContext& context);

/// The instant of a decimal year, to the day.
Date date_of_decimal_year(double decimal_year);
Date date_of_day(std::chrono::sys_days day);
std::string iso_day(std::chrono::sys_days day);

}  // namespace agonic
