// What was set, when it was read, what was refused, what is there twice.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "model/review/look.hpp"
#include "model/review/measure.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

using reading::Status;

std::string span_words(const Notebook& book, const std::vector<std::size_t>& rows) {
  std::optional<std::chrono::sys_days> first, last;
  for (const std::size_t i : rows) {
    const Entry& e = book.entries[i];
    if (!has(e.year)) continue;
    if (!first || e.day < *first) first = e.day;
    if (!last || e.day > *last) last = e.day;
  }
  if (!first) return "";
  return *first == *last ? " on " + iso_day(*first) : " from " + iso_day(*first) + " to " + iso_day(*last);
}

std::string range_words(const Notebook& book, const std::vector<std::size_t>& rows) {
  Range range;
  for (const std::size_t i : rows)
    if (has(book.entries[i].declination)) range.add(book.entries[i].declination);
  if (range.empty()) return "unknown";
  const std::string low = declination_side_text(range.low, 1), high = declination_side_text(range.high, 1);
  return low == high ? low : low + " to " + high;
}

using Groups = std::map<std::pair<NameId, NameId>, std::vector<std::size_t>>;

// The rows by instrument (else observer) and setting.
Groups by_setting(const Notebook& book, bool (*wanted)(const Entry&)) {
  const Factor who = person(book);
  Groups groups;
  for (std::size_t i = 0; i < book.entries.size(); ++i) {
    const Entry& e = book.entries[i];
    if (!wanted(e)) continue;
    const NameId tool = e.group[static_cast<std::size_t>(Factor::instrument)];
    groups[{tool != 0 ? tool : e.group[static_cast<std::size_t>(who)],
            e.group[static_cast<std::size_t>(Factor::setting)]}]
        .push_back(i);
  }
  return groups;
}

std::string of_whom(const Notebook& book, NameId name) { return name == 0 ? "" : " of " + book.names.text(name); }

void look_at_stale(const Look& look) {
  const Notebook& book = look.book;
  const auto groups = by_setting(book, [](const Entry& e) {
    return e.checks.has(reading::Check::setting_stale) && !e.checks.has(reading::Check::declination_sign);
  });
  for (const auto& [key, rows] : groups) {
    Finding& finding = look.add(Check::settings_stale);
    finding.entries = rows;
    double gap = 0;
    for (const std::size_t i : rows) gap += std::abs(wrap_180(book.entries[i].declination - book.entries[i].set));
    finding.degrees = gap / static_cast<double>(rows.size());
    finding.group = book.names.text(key.first);
    finding.what = "The " + book.names.text(key.second) + of_whom(book, key.first) + span_words(book, rows) + " in " +
                   rows_text(rows.size()) + ", where the declination was " + range_words(book, rows) + ".";
    finding.question = "Did that setting really still stand on the circle?";
    finding.answers = {{"Yes", "Nothing to do: the difference, " + degrees_words(finding.degrees) +
                                   " on average, is made good row by row"},
                       {"It had been set anew", "Write what was set: the rows turn by the difference, " +
                                                    degrees_words(finding.degrees) + " on average"},
                       {"It was not set at all", "Write set_declination 0: the rows turn by what is written now"}};
  }
}

void look_at_signs(const Look& look) {
  const Notebook& book = look.book;
  const auto groups = by_setting(book, [](const Entry& e) { return e.checks.has(reading::Check::declination_sign); });
  for (const auto& [key, rows] : groups) {
    Finding& finding = look.add(Check::settings_sign);
    finding.entries = rows;
    const double d = mean_of(book, rows, &Entry::declination);
    finding.degrees = 2 * std::abs(d);
    finding.group = book.names.text(key.first);
    finding.what = rows_text(rows.size()) + of_whom(book, key.first) + span_words(book, rows) + ": " +
                   book.names.text(key.second) + ", and the declination was " + range_words(book, rows) +
                   ", about the same to the other side.";
    finding.question = "Was it really set or applied to that side, or is only the letter or sign in the notes wrong?";
    finding.answers = {{"Really to that side", "Nothing to do: the correction takes it off again"},
                       {"Only written so", "Write it with the right side: the rows turn by " +
                                               degrees_words(finding.degrees) + ", twice the declination"}};
  }
}

// Refusals that are questions of their own; the rest by their reason.
void look_at_refused(const Look& look) {
  const Notebook& book = look.book;
  std::vector<double> all;
  for (const Entry& e : book.entries)
    if (has(e.declination)) all.push_back(std::abs(e.declination));
  const double usual = all.empty() ? 0 : median_of(all);
  for (const auto& [code, problem] : book.first_problem) {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < book.entries.size(); ++i)
      if (book.entries[i].refused_for == code) rows.push_back(i);
    const std::string n = rows_text(rows.size());
    const bool set = code == Code::set_declination_unknown && problem.field == "set_declination";
    Finding& finding = look.add(set                                     ? Check::settings_missing
                                : code == Code::north_reference_missing ? Check::north_missing
                                : code == Code::place_swapped           ? Check::places_swapped
                                                                        : Check::rows_refused);
    finding.entries = rows;
    finding.degrees = usual;
    std::set<std::string> tools;
    for (const std::size_t i : rows)
      if (const NameId tool = book.entries[i].group[static_cast<std::size_t>(Factor::instrument)])
        tools.insert(book.names.text(tool));
    std::string whose;
    if (tools.size() == 1) whose = " of " + *tools.begin(), finding.group = *tools.begin();
    if (set) {
      finding.what = n + whose + ": read off a circle whose setting is not noted, and so not corrected.";
      finding.question = "What was set on the circle" + whose + "?";
      finding.answers = {
          {"The declination", "Write it with its letter, as 3.4E: the rows are true then as they were read"},
          {"Nothing (0)", "Write 0: the rows turn by the declination, about " + degrees_words(usual)},
          {"Nobody knows", "Leave it blank: the rows stay uncorrected, off by at most twice the declination"}};
    } else if (code == Code::north_reference_missing) {
      finding.what = n + whose + ": not said from which north, and so not corrected.";
      finding.question = "Were they read off the circle, or are they magnetic, grid or true?";
      finding.answers = {{"Off the circle", "Write circle, and what was set"},
                         {"Magnetic", "Write magnetic: they turn by the declination, about " + degrees_words(usual)},
                         {"True", "Write true: they stay as they are"},
                         {"Grid", "Write grid and its crs: they turn by the convergence"}};
    } else {
      finding.what = n + whose + (rows.size() == 1 ? " is" : " are") + " refused (" + std::string(word(code)) +
                     "). The first: " + problem.field +
                     (problem.value.empty() ? "" : " '" + printable(problem.value, 40) + "'") + ": " + problem.message +
                     ".";
      finding.question = "What should stand there?";
      finding.answers = {{"It is known", problem.remedy.empty() ? "Mend the cell" : problem.remedy},
                         {"It is not", "The rows stay uncorrected, and are passed on as they came"}};
    }
  }
}

void look_at_mixed(const Look& look) {
  const Notebook& book = look.book;
  using Key = std::pair<NameId, std::chrono::sys_days>;
  std::map<Key, std::map<NameId, std::vector<std::size_t>>> days;
  for (std::size_t i = 0; i < book.entries.size(); ++i) {
    const Entry& e = book.entries[i];
    const NameId tool = e.group[static_cast<std::size_t>(Factor::instrument)];
    if (tool == 0 || !has(e.set) || !has(e.year) || e.year_only) continue;
    days[{tool, e.day}][e.group[static_cast<std::size_t>(Factor::setting)]].push_back(i);
  }
  for (const auto& [key, settings] : days) {
    if (settings.size() < 2) continue;
    Finding& finding = look.add(Check::settings_mixed);
    std::string words;
    Range range;
    for (const auto& [setting, rows] : settings) {
      words += (words.empty() ? "" : "; ") + book.names.text(setting) + " in " + rows_text(rows.size());
      range.add(book.entries[rows.front()].set);
      finding.entries.insert(finding.entries.end(), rows.begin(), rows.end());
    }
    std::sort(finding.entries.begin(), finding.entries.end());
    finding.group = book.names.text(key.first);
    finding.degrees = range.width() / 2;
    finding.what =
        "On " + iso_day(key.second) + " the instrument " + finding.group + " has several settings: " + words + ".";
    finding.question = "Was the circle turned during that day?";
    finding.answers = {{"Yes", "Nothing to do"},
                       {"No", "Write the one that stood there in all rows of that day: the others turn by up to " +
                                  degrees_words(range.width())}};
  }
}

}  // namespace

void look_at_settings(const Look& look) {
  look_at_stale(look);
  look_at_signs(look);
  look_at_mixed(look);
  Range range;
  std::vector<std::size_t> rows;
  for (std::size_t i = 0; i < look.book.entries.size(); ++i) {
    const Entry& e = look.book.entries[i];
    if (!has(e.declination) || look.misplaced[i]) continue;
    range.add(e.declination);
    rows.push_back(i);
  }
  if (range.width() <= threshold::kSpreadDeg) return;
  Finding& finding = look.add(Check::declination_spread);
  finding.entries = std::move(rows);
  finding.degrees = 0;  // every row has its own: nothing moves
  finding.what = "The declination runs from " + declination_side_text(range.low, 1) + " to " +
                 declination_side_text(range.high, 1) + " over the places and dates of the file, " +
                 degrees_words(range.width()) + ".";
}

void look_at_dates(const Look& look) {
  const Notebook& book = look.book;
  std::vector<std::size_t> years;
  std::map<std::chrono::sys_days, std::vector<std::size_t>> days;
  for (std::size_t i = 0; i < book.entries.size(); ++i) {
    const Entry& e = book.entries[i];
    if (!has(e.year)) continue;
    if (e.first_of_january || e.year_only)
      years.push_back(i);
    else
      days[e.day].push_back(i);
  }
  if (years.size() >= static_cast<std::size_t>(threshold::kYearOnlyRows)) {
    Finding& finding = look.add(Check::dates_year_only);
    std::size_t january = 0;
    for (const std::size_t i : years)
      if (book.entries[i].first_of_january) ++january;
    finding.degrees = 0.1;  // half a year of the declination's change
    finding.what = rows_text(years.size()) + " seem to be dated by their year alone" +
                   (january > 0 ? ": " + std::to_string(january) + " on the 1st of January." : ".");
    finding.entries = std::move(years);
    finding.question = "Is the day known?";
    finding.answers = {{"Yes", "Write it"},
                       {"Only the year",
                        "Write the year alone: it means mid-year, half a year's change of the "
                        "declination from the 1st of January"}};
  }
  for (const auto& [day, rows] : days) {
    if (rows.size() < static_cast<std::size_t>(threshold::kHeapRows)) continue;
    Range lat, lon;
    std::map<NameId, std::size_t> persons;
    std::size_t most = 0;
    for (const std::size_t i : rows) {
      const Entry& e = book.entries[i];
      most = std::max(most, ++persons[e.group[static_cast<std::size_t>(Factor::observer)]]);
      if (!has(e.lat) || look.misplaced[i]) continue;
      lat.add(e.lat);
      lon.add(e.lon);
    }
    const double km = lat.empty() ? 0 : km_between(lat.low, lon.low, lat.high, lon.high);
    if (km <= threshold::kHeapKm && most <= static_cast<std::size_t>(threshold::kHeapRowsOfOne)) continue;
    Finding& finding = look.add(Check::dates_heaped);
    finding.entries = rows;
    finding.degrees = 0.1;
    finding.what = rows_text(rows.size()) + " are dated " + iso_day(day) +
                   (km > threshold::kHeapKm ? ", at places up to " + format_fixed(km, 0) + " km apart."
                                            : ", " + std::to_string(most) + " of them by one observer.");
    finding.question = "Is that the day of the readings, or the day on which they were typed in?";
    finding.answers = {{"Of the readings", "Nothing to do"},
                       {"Of the typing",
                        "Write when they were taken, as well as it is known: the declination moves "
                        "with every year between"}};
  }
}

void look_at_rows(const Look& look) {
  look_at_refused(look);
  const Notebook& book = look.book;
  std::map<std::size_t, std::vector<std::size_t>> same;
  for (std::size_t i = 0; i < book.entries.size(); ++i) same[book.entries[i].digest].push_back(i);
  std::vector<std::size_t> again;
  for (const auto& [digest, rows] : same) again.insert(again.end(), rows.begin() + 1, rows.end());
  if (again.empty()) return;
  std::sort(again.begin(), again.end());
  Finding& finding = look.add(Check::rows_repeated);
  finding.what = rows_text(again.size()) + (again.size() == 1 ? " is" : " are") +
                 " the same as an earlier one, to the last character.";
  finding.entries = std::move(again);
  finding.question = "Was it read twice, or copied?";
  finding.answers = {{"Copied", "Take the copies out before means are made"},
                     {"Read twice", "Nothing to do: a number for each reading would show it"}};
}

}  // namespace agonic::review
