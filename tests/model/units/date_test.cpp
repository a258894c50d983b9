// Dates in every form that is read and every form that is refused. Calendar facts by ISO 8601 and the Gregorian rule.
#include "model/units/date.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

namespace agonic {
namespace {

using namespace std::chrono;

constexpr sys_days kToday = 2026y / May / 20;

Date read(const std::string& text, DateOrder order = DateOrder::undeclared) {
  const auto date = parse_date(text, {kToday, order, "date"});
  EXPECT_TRUE(date) << text << ": " << (date ? "" : date.problem().text());
  return date ? *date : Date{};
}

Problem refused(const std::string& text, DateOrder order = DateOrder::undeclared) {
  const auto date = parse_date(text, {kToday, order, "date"});
  EXPECT_FALSE(date) << text << " -> " << (date ? date->iso : "");
  if (date) return {};
  EXPECT_EQ(date.problem().field, "date");
  EXPECT_FALSE(date.problem().message.empty());
  EXPECT_FALSE(date.problem().remedy.empty()) << text;
  return date.problem();
}

bool has(const std::string& text, const std::string& piece) { return text.find(piece) != std::string::npos; }

TEST(Date, ReadsIsoDaysAsMidnightUtc) {
  for (const char* text : {"2008-07-01", " 2008-07-01 ", "20080701", "2008-183"}) {  // day 183 of a leap year
    const Date date = read(text);
    EXPECT_EQ(date.iso, "2008-07-01") << text;
    EXPECT_EQ(date.day, sys_days(2008y / July / 1));
    EXPECT_EQ(date.seconds_of_day, 0);
    EXPECT_EQ(date.decimal_year, 2008 + 182.0 / 366) << text;
    EXPECT_EQ(date.note, "");
    EXPECT_FALSE(date.first_of_january);
  }
  EXPECT_EQ(read("2007-12-31").decimal_year, 2007 + 364.0 / 365);
  EXPECT_EQ(read("1590-01-01").decimal_year, 1590);
}

// decimal year = year + (day of year - 1 + fraction of day) / days in the year
TEST(Date, HasTheTimeOfDayInTheDecimalYear) {
  EXPECT_EQ(read("2007-01-01T12:00Z").decimal_year, 2007 + 0.5 / 365);
  EXPECT_EQ(read("2008-07-01T06:00").decimal_year, 2008 + 182.25 / 366);
  EXPECT_EQ(read("2008-07-01 06:00").iso, "2008-07-01T06:00Z");
  EXPECT_EQ(read("2008-07-01T0600").iso, "2008-07-01T06:00Z");
  EXPECT_EQ(read("2008-07-01T06").iso, "2008-07-01T06:00Z");
  EXPECT_EQ(read("2008-07-01t06:00:30.5z").seconds_of_day, 6 * 3600 + 30.5);
  EXPECT_EQ(read("2008-07-01T00:00Z").iso, "2008-07-01");
}

TEST(Date, TurnsOffsetsIntoUtc) {
  EXPECT_EQ(read("2008-07-01T12:30+02:00").iso, "2008-07-01T10:30Z");
  EXPECT_EQ(read("2008-07-01T12:30 +0200").iso, "2008-07-01T10:30Z");
  EXPECT_EQ(read("2008-07-01T12:30-03").iso, "2008-07-01T15:30Z");
  EXPECT_EQ(read("2008-07-01T01:00+05:45").iso, "2008-06-30T19:15Z");
  EXPECT_EQ(read("2008-12-31T22:00-04:00").iso, "2009-01-01T02:00Z");
  for (const char* text : {"2008-07-01T12:30+", "2008-07-01T12:30+2", "2008-07-01T12:30+15:00",
                           "2008-07-01T12:30+02:60", "2008-07-01T12:30+02:0", "2008-07-01T12:30+02:000"})
    EXPECT_EQ(refused(text).code, Code::date_unreadable);
}

TEST(Date, Takes24HoursAsTheEndOfTheDayAndNothingBeyond) {
  EXPECT_EQ(read("2008-07-01T24:00").iso, "2008-07-02");
  EXPECT_EQ(read("2008-12-31T24:00:00").decimal_year, 2009);
  for (const char* text :
       {"2008-07-01T24:01", "2008-07-01T24:00:01", "2008-07-01T25:00", "2008-07-01T12:60", "2008-07-01T12:5",
        "2008-07-01T", "2008-07-01Tnoon", "2008-07-01T12:00:-1", "2008-07-01T12:00:1e1"})
    EXPECT_EQ(refused(text).code, Code::date_unreadable);
  EXPECT_TRUE(has(refused("2008-12-31T23:59:60Z").message, "leap second"));
}

TEST(Date, KnowsLeapYears) {
  read("2008-02-29");
  read("2000-02-29");
  read("1600-02-29");
  const Problem no = refused("2007-02-29");
  EXPECT_TRUE(has(no.message, "February 2007 has 28 days, not 29")) << no.message;
  refused("1900-02-29");
  refused("2100-02-29");
  read("2008-366");
  refused("2007-366");
  refused("2007-000");
  refused("2008-04-31");
  EXPECT_TRUE(has(refused("2008-13-01").message, "no month 13"));
  refused("2008-00-10");
  refused("2008-07-00");
}

TEST(Date, TakesAMonthAndAYearAsTheirMiddlesAndSaysSo) {
  const Date july = read("2008-07");
  EXPECT_EQ(july.iso, "2008-07-16T12:00Z");
  EXPECT_EQ(july.note, "2008-07 taken as mid-month");
  EXPECT_EQ(july.earliest, sys_days(2008y / July / 1));
  EXPECT_EQ(read("2007-02").iso, "2007-02-15");
  const Date year = read("2007");
  EXPECT_EQ(year.decimal_year, 2007.5);
  EXPECT_EQ(year.iso, "2007-07-02T12:00Z");
  EXPECT_EQ(year.note, "2007 taken as mid-year");
  EXPECT_EQ(year.earliest, sys_days(2007y / January / 1));
  EXPECT_FALSE(year.first_of_january);
  EXPECT_EQ(read("2008").decimal_year, 2008.5);
  EXPECT_EQ(read("2008").iso, "2008-07-02");
  refused("2008T12:00");
  refused("2008-07T12:00");
}

TEST(Date, ReadsADecimalYearByItsPoint) {
  const Date date = read("2008.5");
  EXPECT_EQ(date.decimal_year, 2008.5);
  EXPECT_EQ(date.iso, "2008-07-02");
  EXPECT_TRUE(has(date.note, "decimal year 2008.5 taken as 2008-07-02"));
  EXPECT_EQ(read("2008,5").decimal_year, 2008.5);
  EXPECT_EQ(read("2008.0").iso, "2008-01-01");
  EXPECT_TRUE(read("2008.0").first_of_january);  // a year in a column with gaps becomes 2008.0 in much software
  EXPECT_FALSE(read("2008.5").first_of_january);
  refused("2008.");
  refused("2008.5e1");
  refused("208.5");
  refused("20080.5");
}

TEST(Date, GoesFromDecimalYearsToDaysAndBack) {
  for (sys_days day = 2026y / January / 1; day <= sys_days(2029y / January / 2); day += days(1))
    EXPECT_EQ(date_of_decimal_year(date_of_day(day).decimal_year).day, day) << iso_day(day);
  EXPECT_EQ(date_of_decimal_year(2008.9999999999999).iso, "2009-01-01");
}

TEST(Date, TakesTheMiddleOfASpanAndSaysSo) {
  const Date span = read("2008-07-01/2008-07-20");
  EXPECT_EQ(span.iso, "2008-07-10T12:00Z");
  EXPECT_TRUE(has(span.note, "2008-07-01/2008-07-20 taken as its middle, 2008-07-10T12:00Z")) << span.note;
  EXPECT_EQ(span.earliest, sys_days(2008y / July / 1));
  EXPECT_EQ(read("2008-07-01 / 2008-07-03").iso, "2008-07-02");
  EXPECT_EQ(read("2008-07-01T10:00/2008-07-01T12:00").iso, "2008-07-01T11:00Z");
  EXPECT_EQ(read("2007/2008").iso, "2008-01-01T06:00Z");  // the mean of their middles
  EXPECT_TRUE(has(refused("2008-07-20/2008-07-01").message, "ends before it begins"));
  EXPECT_TRUE(has(refused("2008-07-01/x").message, "the end of the span"));
  EXPECT_TRUE(has(refused("2008-07-32/2008-08-01").message, "the beginning of the span"));
  EXPECT_EQ(refused("1.7.2008/3.7.2008").code, Code::date_ambiguous);
  EXPECT_EQ(read("1.7.2008/3.7.2008", DateOrder::dmy).iso, "2008-07-02");
}

TEST(Date, AnswersTodayWithTheDateItMeant) {
  for (const char* text : {"today", "Today", "TODAY "}) {
    const Date date = read(text);
    EXPECT_EQ(date.iso, "2026-05-20");
    EXPECT_EQ(date.note, "today taken as 2026-05-20");
  }
  EXPECT_EQ(read("2026-05-18/today").iso, "2026-05-19");
  refused("now");
  refused("yesterday");
}

TEST(Date, IsNeverSilentlyToday) {
  for (const char* text : {"", " ", "\t"}) EXPECT_EQ(refused(text).code, Code::date_missing);
}

TEST(Date, RefusesAnUndeclaredOrderWithBothReadings) {
  const Problem both = refused("03/04/2005");
  EXPECT_EQ(both.code, Code::date_ambiguous);
  EXPECT_TRUE(has(both.message, "3 April 2005 or 4 March 2005")) << both.message;
  EXPECT_TRUE(has(both.remedy, "date_order"));
  EXPECT_TRUE(has(refused("13.4.2005").message, ": 13 April 2005"));
  EXPECT_FALSE(has(refused("13.4.2005").message, " or "));
  const Problem three = refused("03-04-05");
  EXPECT_TRUE(has(three.message, "3 April 2005 or 4 March 2005 or 5 April 2003")) << three.message;
  EXPECT_TRUE(has(three.message, "two digits"));
  EXPECT_EQ(refused("2005/04/03").code, Code::date_ambiguous);
  EXPECT_EQ(refused("2005-4-3").code, Code::date_unreadable);
  EXPECT_TRUE(has(refused("03/04/2005").remedy, "2005-04-03 or 2005-03-04")) << refused("03/04/2005").remedy;
  EXPECT_EQ(refused("5.5.2005").message.find(" or "), std::string::npos);  // both readings are one
}

TEST(Date, ReadsADeclaredOrder) {
  EXPECT_EQ(read("03/04/2005", DateOrder::dmy).iso, "2005-04-03");
  EXPECT_EQ(read("03/04/2005", DateOrder::mdy).iso, "2005-03-04");
  EXPECT_EQ(read("2005/4/3", DateOrder::ymd).iso, "2005-04-03");
  EXPECT_EQ(read("3.4.2005", DateOrder::dmy).iso, "2005-04-03");
  EXPECT_EQ(read("3-4-2005", DateOrder::dmy).iso, "2005-04-03");
  EXPECT_EQ(read("2005-04-03", DateOrder::mdy).iso, "2005-04-03");  // ISO stays ISO
  refused("31/04/2005", DateOrder::dmy);
  refused("13/04/2005", DateOrder::mdy);
  refused("2005/04/03", DateOrder::dmy);
  refused("3/4/205", DateOrder::dmy);
  EXPECT_TRUE(read("1/1/2005", DateOrder::dmy).first_of_january);
}

TEST(Date, TakesTwoDigitYearsAsTheLatestNotAfterToday) {
  EXPECT_EQ(read("1/7/08", DateOrder::dmy).iso, "2008-07-01");
  EXPECT_EQ(read("1/7/26", DateOrder::dmy).iso, "2026-07-01");
  EXPECT_EQ(read("1/7/27", DateOrder::dmy).iso, "1927-07-01");
  EXPECT_EQ(read("08-07-01", DateOrder::ymd).iso, "2008-07-01");
  EXPECT_EQ(read("1/7/08", DateOrder::dmy).note, "two-digit year taken as 2008");
}

TEST(Date, OfATripIsNotPutIntoThePastByTwoDigits) {
  DateContext trip{std::chrono::year(2026) / 11 / 25, DateOrder::dmy};
  trip.may_lie_ahead = true;
  const auto date = parse_date("4.7.28", trip);
  ASSERT_FALSE(date);
  EXPECT_TRUE(has(date.problem().message, "1928 or 2028")) << date.problem().message;
  EXPECT_EQ(parse_date("4.7.08", trip)->iso, "2008-07-04");
  EXPECT_EQ(parse_date("4.7.75", trip)->iso, "1975-07-04");
}

TEST(Date, KeepsTheFirstOfJanuaryAndMarksIt) {
  for (const char* text : {"2008-01-01", "20080101", "2008-001"}) {
    EXPECT_TRUE(read(text).first_of_january) << text;
    EXPECT_EQ(read(text).iso, "2008-01-01");
  }
  EXPECT_FALSE(read("2008-01-01T10:30").first_of_january);
  EXPECT_FALSE(read("2008-01-02").first_of_january);
}

TEST(Date, RefusesWhatIsNoDate) {
  for (const char* text : {"July 2008", "1 July 2008", "39630", "08", "-2008", "2008-7", "7/2008", "2008-07-01x",
                           "2008--07", "999999999999999999999", "2008-07-0a", "/", "//", "2008-W27-1"})
    refused(text);
}

TEST(DateOrder, IsOneOfThree) {
  EXPECT_EQ(*parse_date_order("DMY"), DateOrder::dmy);
  EXPECT_EQ(*parse_date_order("mdy"), DateOrder::mdy);
  EXPECT_EQ(*parse_date_order("ymd"), DateOrder::ymd);
  EXPECT_FALSE(parse_date_order("ydm"));
}

}  // namespace
}  // namespace agonic
