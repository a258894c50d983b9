#include "model/units/date.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "model/units/number.hpp"

namespace agonic {
namespace {

using namespace std::chrono;

constexpr std::array<std::string_view, 12> kMonths{"January",   "February", "March",    "April",
                                                   "May",       "June",     "July",     "August",
                                                   "September", "October",  "November", "December"};
constexpr double kSecondsPerDay = 86400;
constexpr int kTripYears = 10;  // nobody asks for a setting further ahead

Problem unreadable(const DateContext& context, std::string_view text, std::string message,
                   std::string remedy = "Write it as 2008-07-01, 2008-07, 2008 or 2008.5") {
  return {Code::date_unreadable, std::string(context.field), std::string(text), std::move(message), std::move(remedy)};
}

int days_in_year(year y) { return y.is_leap() ? 366 : 365; }

// An instant as day and seconds, so that whole days stay exact.
struct Instant {
  sys_days day;
  double seconds = 0;  // [0, 86400)
};

Instant at(sys_days day, double seconds) {
  const double days = std::floor(seconds / kSecondsPerDay);
  return {day + std::chrono::days(static_cast<int>(days)), seconds - days * kSecondsPerDay};
}

double decimal_year(const Instant& instant) {
  const year_month_day ymd(instant.day);
  const auto start = sys_days(ymd.year() / January / 1);
  const double day_of_year = static_cast<double>((instant.day - start).count()) + instant.seconds / kSecondsPerDay;
  return static_cast<int>(ymd.year()) + day_of_year / days_in_year(ymd.year());
}

std::string two(unsigned value) { return (value < 10 ? "0" : "") + std::to_string(value); }

std::string iso(const Instant& instant) {
  std::string text = iso_day(instant.day);
  const auto minutes = static_cast<unsigned>(instant.seconds / 60);
  if (instant.seconds != 0) text += "T" + two(minutes / 60) + ":" + two(minutes % 60) + "Z";
  return text;
}

Date date_of(const Instant& instant, std::string note = {}) {
  return {decimal_year(instant), instant.day, instant.seconds, iso(instant), std::move(note), false, instant.day};
}

// The middle of something that begins on a day and is `days` long.
Date middle_of(sys_days first, double length_days, std::string note) {
  Date date = date_of(at(first, length_days / 2 * kSecondsPerDay), std::move(note));
  date.earliest = first;
  return date;
}

// A run of digits as a number; empty when it is none or longer than nine.
std::optional<int> digits(std::string_view text) {
  if (text.empty() || text.size() > 9) return std::nullopt;
  int value = 0;
  for (char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + (c - '0');
  }
  return value;
}

Result<sys_days> civil(int y, int m, int d, std::string_view text, const DateContext& context) {
  if (m < 1 || m > 12) return unreadable(context, text, "there is no month " + std::to_string(m));
  const year_month_day ymd{year(y), month(static_cast<unsigned>(m)), std::chrono::day(static_cast<unsigned>(d))};
  if (!ymd.ok()) {
    const auto last = static_cast<unsigned>((year(y) / month(static_cast<unsigned>(m)) / std::chrono::last).day());
    return unreadable(context, text,
                      std::string(kMonths[static_cast<std::size_t>(m - 1)]) + " " + std::to_string(y) + " has " +
                          std::to_string(last) + " days, not " + std::to_string(d),
                      "Look the day up in the notebook");
  }
  return sys_days(ymd);
}

// "12:30", "12:30:15.5", "1230", each with Z or an offset or nothing: seconds from 00:00 UTC of the written day.
Result<double> time_of_day(std::string_view text, std::string_view whole, const DateContext& context) {
  double offset = 0;
  if (!text.empty() && (text.back() == 'Z' || text.back() == 'z')) {
    text.remove_suffix(1);
  } else if (const auto sign = text.find_first_of("+-"); sign != std::string_view::npos) {
    std::string_view zone = text.substr(sign + 1);
    const std::optional<int> hours = digits(zone.substr(0, 2));
    std::optional<int> minutes = 0;
    if (zone.size() > 2) {
      zone.remove_prefix(zone[2] == ':' ? 3 : 2);
      minutes = zone.size() == 2 ? digits(zone) : std::nullopt;
    }
    if (!hours || !minutes || zone.size() < 2 || *hours > 14 || *minutes > 59)
      return unreadable(context, whole, "the offset from UTC cannot be read", "Write it as Z or +02:00");
    offset = (*hours * 60 + *minutes) * 60 * (text[sign] == '-' ? -1 : 1);
    text = trim(text.substr(0, sign));
  }
  std::vector<std::string_view> parts;
  if (text.find(':') != std::string_view::npos) {
    for (std::size_t start = 0;;) {
      const auto colon = text.find(':', start);
      parts.push_back(text.substr(start, colon - start));
      if (colon == std::string_view::npos) break;
      start = colon + 1;
    }
  } else if (text.size() == 2 || text.size() == 4 || text.size() == 6) {
    for (std::size_t i = 0; i < text.size(); i += 2) parts.push_back(text.substr(i, 2));
  }
  const auto bad = [&] {
    return unreadable(context, whole, "the time of day cannot be read", "Write it as 2008-07-01T12:30Z");
  };
  if (parts.empty() || parts.size() > 3) return bad();
  const auto hours = digits(parts[0]);
  const auto minutes = parts.size() > 1 ? digits(parts[1]) : std::optional<int>(0);
  double seconds = 0;
  if (parts.size() == 3) {
    const auto parsed = parse_number(parts[2]);
    if (!parsed || *parsed < 0 || parts[2].find_first_of("+-eE") != std::string_view::npos) return bad();
    seconds = *parsed;
  }
  if (!hours || !minutes || (parts.size() > 1 && parts[1].size() != 2) || *minutes > 59 || *hours > 24 ||
      (*hours == 24 && (*minutes > 0 || seconds > 0)))
    return bad();
  if (seconds >= 60)
    return unreadable(context, whole, "seconds of 60 and more are not read, a leap second neither",
                      "Give the second before or after");
  return *hours * 3600.0 + *minutes * 60.0 + seconds - offset;
}

std::string spelled(int d, int m, int y) {
  return std::to_string(d) + " " + std::string(kMonths[static_cast<std::size_t>(m - 1)]) + " " + std::to_string(y);
}

// A reading lies in the past: a two-digit year is the latest such year that is not after today's.
int full_year(int two_digits, const DateContext& context) {
  const int now = static_cast<int>(year_month_day(context.today).year());
  const int y = two_digits + now - now % 100;
  return y > now ? y - 100 : y;
}

// 3/4/2005 without an order: refused with everything it may mean.
Problem ambiguous(std::string_view text, const std::array<int, 3>& n, const std::array<std::size_t, 3>& width,
                  const DateContext& context) {
  std::vector<std::string> meanings;
  std::string written;
  const auto add = [&](std::size_t d, std::size_t m, std::size_t y) {
    if (n[m] < 1 || n[m] > 12 || (width[y] != 2 && width[y] != 4)) return;
    const int y4 = width[y] == 2 ? full_year(n[y], context) : n[y];
    const year_month_day date{year(y4), month(static_cast<unsigned>(n[m])),
                              std::chrono::day(static_cast<unsigned>(n[d]))};
    if (n[d] < 1 || !date.ok()) return;
    std::string meaning = spelled(n[d], n[m], y4);
    if (std::find(meanings.begin(), meanings.end(), meaning) != meanings.end()) return;
    meanings.push_back(std::move(meaning));
    written += (written.empty() ? "" : " or ") + iso_day(sys_days(date));
  };
  const bool year_first = width[0] > 2, year_last = width[2] > 2;
  if (!year_first) add(0, 1, 2), add(1, 0, 2);
  if (!year_last) add(2, 1, 0);
  std::string message = "the order of day, month and year is not declared";
  if (!year_first && !year_last) message = "the year has two digits, and " + message;
  for (std::size_t i = 0; i < meanings.size(); ++i) message += (i == 0 ? ": " : " or ") + meanings[i];
  return {Code::date_ambiguous, std::string(context.field), std::string(text), std::move(message),
          "Declare date_order (dmy, mdy or ymd)" +
              (written.empty() ? std::string(", or write it as 2008-07-01") : ", or write " + written)};
}

// 3/4/2005 and the like: three numbers with a separator that is no ISO date.
Result<Date> ordered_date(std::string_view text, const std::array<int, 3>& n, const std::array<std::size_t, 3>& width,
                          const DateContext& context) {
  if (context.order == DateOrder::undeclared) {
    if (width[0] == 4 && text.find('-') != std::string_view::npos)
      return unreadable(context, text, "month and day have two digits each", "Write it as 2008-07-01");
    return ambiguous(text, n, width, context);
  }
  const auto [yi, mi, di] = context.order == DateOrder::dmy   ? std::array{2, 1, 0}
                            : context.order == DateOrder::mdy ? std::array{2, 0, 1}
                                                              : std::array{0, 1, 2};
  int y = n[static_cast<std::size_t>(yi)];
  const auto year_width = width[static_cast<std::size_t>(yi)];
  std::string note;
  if (year_width == 2) {
    y = full_year(y, context);
    const int ahead = y + 100;
    if (context.may_lie_ahead && ahead <= static_cast<int>(year_month_day(context.today).year()) + kTripYears)
      return Problem{Code::date_ambiguous, std::string(context.field), std::string(text),
                     "the year may be " + std::to_string(y) + " or " + std::to_string(ahead), "Write all four digits"};
    note = "two-digit year taken as " + std::to_string(y);
  } else if (year_width != 4) {
    return unreadable(context, text, "in the declared order of day, month and year this has no year",
                      "Write it in that order, or as 2005-04-03");
  }
  auto day = civil(y, n[static_cast<std::size_t>(mi)], n[static_cast<std::size_t>(di)], text, context);
  if (!day) return day.problem();
  Date date = date_of({*day, 0}, std::move(note));
  date.first_of_january = n[static_cast<std::size_t>(mi)] == 1 && n[static_cast<std::size_t>(di)] == 1;
  return date;
}

std::optional<Result<Date>> try_ordered(std::string_view text, const DateContext& context) {
  const auto first = text.find_first_of("/.- ");
  if (first == std::string_view::npos) return std::nullopt;
  const auto second = text.find(text[first], first + 1);
  if (second == std::string_view::npos) return std::nullopt;
  const std::array parts{text.substr(0, first), text.substr(first + 1, second - first - 1), text.substr(second + 1)};
  std::array<int, 3> numbers{};
  std::array<std::size_t, 3> width{};
  for (std::size_t i = 0; i < 3; ++i) {
    const auto number = digits(trim(parts[i]));
    if (!number || trim(parts[i]).size() > 4) return std::nullopt;
    numbers[i] = *number;
    width[i] = trim(parts[i]).size();
  }
  return ordered_date(text, numbers, width, context);
}

Result<Date> iso_date(std::string_view text, const DateContext& context) {
  std::string_view day_text = text;
  std::string_view time_text;
  if (const auto t = text.find_first_of("Tt "); t != std::string_view::npos) {
    day_text = text.substr(0, t);
    time_text = text.substr(t + 1);
  }
  const bool with_time = day_text.size() != text.size();
  const auto y = digits(day_text.substr(0, 4));
  if (!y || day_text.size() < 4) return unreadable(context, text, "this is no date");

  if (day_text.size() == 4) {
    if (with_time) return unreadable(context, text, "a time of day without a day");
    const year yy(*y);
    return middle_of(sys_days(yy / January / 1), days_in_year(yy), std::string(text) + " taken as mid-year");
  }
  if (day_text.size() == 7 && day_text[4] == '-' && day_text.substr(5).find('-') == std::string_view::npos) {
    const auto m = digits(day_text.substr(5));
    if (!m || with_time) return unreadable(context, text, "this is no month");
    auto first = civil(*y, *m, 1, text, context);
    if (!first) return first.problem();
    const auto length = static_cast<unsigned>((year(*y) / month(static_cast<unsigned>(*m)) / last).day());
    return middle_of(*first, length, std::string(text) + " taken as mid-month");
  }

  sys_days day;
  bool january = false;
  const bool extended = day_text.size() == 10 && day_text[4] == '-' && day_text[7] == '-';
  if (extended || (day_text.size() == 8 && digits(day_text))) {
    const auto m = digits(day_text.substr(extended ? 5 : 4, 2)), d = digits(day_text.substr(extended ? 8 : 6, 2));
    if (!m || !d) return unreadable(context, text, "this is no date");
    auto parsed = civil(*y, *m, *d, text, context);
    if (!parsed) return parsed.problem();
    day = *parsed;
    january = *m == 1 && *d == 1;
  } else if (day_text.size() == 8 && day_text[4] == '-') {
    const auto number = digits(day_text.substr(5));
    if (!number || *number < 1 || *number > days_in_year(year(*y)))
      return unreadable(context, text, "there is no such day of the year");
    day = sys_days(year(*y) / January / 1) + days(*number - 1);
    january = *number == 1;
  } else {
    return unreadable(context, text, "this is no date");
  }
  if (!with_time) {
    Date date = date_of({day, 0});
    date.first_of_january = january;
    return date;
  }
  auto seconds = time_of_day(trim(time_text), text, context);
  if (!seconds) return seconds.problem();
  return date_of(at(day, *seconds));
}

Result<Date> single_date(std::string_view text, const DateContext& context) {
  if (lower(text) == "today") return date_of({context.today, 0}, "today taken as " + iso_day(context.today));
  // A decimal year needs its point; a comma is taken where a decimal comma is used.
  if (const auto point = text.find_first_of(".,");
      point == 4 && text.find_first_of(".,", 5) == std::string_view::npos) {
    if (digits(text.substr(0, 4)) && text.size() > 5 && text.size() < 30 &&
        text.substr(5).find_first_not_of("0123456789") == std::string_view::npos) {
      std::string number(text);
      number[4] = '.';
      const double value = *parse_number(number);
      Date date = date_of_decimal_year(value);
      date.note = "decimal year " + number + " taken as " + date.iso;
      date.first_of_january = value == std::floor(value);  // how a table program writes a bare year
      return date;
    }
  }
  const bool iso_shape = text.size() >= 10 && text[4] == '-' && text[7] == '-';
  if (!iso_shape)
    if (auto ordered = try_ordered(text, context)) return *ordered;
  return iso_date(text, context);
}

}  // namespace

Result<DateOrder> parse_date_order(std::string_view text) {
  const std::string word = lower(trim(text));
  if (word == "dmy") return DateOrder::dmy;
  if (word == "mdy") return DateOrder::mdy;
  if (word == "ymd") return DateOrder::ymd;
  return Problem{Code::unknown_name, "date_order", std::string(text), "this is no order of day, month and year",
                 "Give dmy, mdy or ymd"};
}

std::string iso_day(sys_days day) {
  const year_month_day ymd(day);
  std::string year_text = std::to_string(static_cast<int>(ymd.year()));
  while (year_text.size() < 4) year_text.insert(0, "0");
  return year_text + "-" + two(static_cast<unsigned>(ymd.month())) + "-" + two(static_cast<unsigned>(ymd.day()));
}

Date date_of_day(sys_days day) { return date_of({day, 0}); }

Date date_of_decimal_year(double value) {
  const year y(static_cast<int>(std::floor(value)));
  // A microsecond of slack: 2028.505464480874 is the 4th of July although the double falls short of it.
  const double day_of_year = std::floor((value - std::floor(value)) * days_in_year(y) + 1e-7);
  Date date;
  date.decimal_year = value;
  date.day = sys_days(y / January / 1) + days(static_cast<int>(day_of_year));
  date.iso = iso_day(date.day);
  date.earliest = date.day;
  return date;
}

namespace {

// 2008-07-01, the usual form, without a detour; empty for every other text.
std::optional<Date> plain_day(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto figures = [&](std::size_t from, std::size_t count) {
    unsigned value = 0;
    for (std::size_t i = from; i < from + count; ++i) {
      if (text[i] < '0' || text[i] > '9') return ~0U;
      value = value * 10 + static_cast<unsigned>(text[i] - '0');
    }
    return value;
  };
  const unsigned y = figures(0, 4), m = figures(5, 2), d = figures(8, 2);
  if (y > 9999 || m > 12 || d > 31) return std::nullopt;
  const year_month_day ymd{year(static_cast<int>(y)), month(m), day(d)};
  if (!ymd.ok()) return std::nullopt;
  const sys_days day(ymd), start(ymd.year() / January / 1);
  Date date;
  date.decimal_year = static_cast<double>(y) + static_cast<double>((day - start).count()) / days_in_year(ymd.year());
  date.day = date.earliest = day;
  date.iso = text;
  date.first_of_january = m == 1 && d == 1;
  return date;
}

}  // namespace

Result<Date> parse_date(std::string_view raw, const DateContext& context) {
  const std::string_view text = trim(raw);
  if (auto plain = plain_day(text)) return *std::move(plain);
  if (text.empty())
    return Problem{Code::date_missing, std::string(context.field), "", "the date is missing",
                   "Give the date of the reading (2008-07-01), or 'today'"};
  const auto slash = text.find('/');
  const bool range =
      slash != std::string_view::npos && text.find('/', slash + 1) == std::string_view::npos && slash >= 4;
  if (!range) return single_date(text, context);

  auto from = single_date(trim(text.substr(0, slash)), context);
  auto to = single_date(trim(text.substr(slash + 1)), context);
  if (!from || !to) {
    Problem inner = (from ? to : from).problem();
    inner.message = (from ? "the end" : "the beginning") + std::string(" of the span: ") + inner.message;
    if (inner.code != Code::date_ambiguous) inner.remedy = "Write a span as 2008-07-01/2008-07-20";
    inner.value = std::string(text);
    return inner;
  }
  if (to->decimal_year < from->decimal_year)
    return unreadable(context, text, "the span ends before it begins", "Swap its ends");
  const double gap =
      static_cast<double>((to->day - from->day).count()) * kSecondsPerDay + to->seconds_of_day - from->seconds_of_day;
  Date date = date_of(at(from->day, from->seconds_of_day + gap / 2));
  date.note = std::string(text) + " taken as its middle, " + date.iso;
  date.earliest = from->earliest;
  return date;
}

}  // namespace agonic
