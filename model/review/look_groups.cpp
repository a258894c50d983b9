// Groups that stand apart on shared lines: by the declination, by twice it, by something else, or mirrored.
#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "model/field/declination.hpp"
#include "model/review/look.hpp"
#include "model/review/measure.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

// What an offset looks like: times the declination of the group itself or of the others.
struct Likeness {
  int times = 0;  // 0: neither D nor 2 D
  bool of_others = false;
};

Likeness likeness(double offset, double own, double others, double tolerance) {
  Likeness best;
  double nearest = tolerance;
  for (const int times : {1, -1, 2, -2})
    for (const bool of_others : {false, true}) {
      const double declination = of_others ? -others : own;
      if (!has(declination) || std::abs(declination) < threshold::kApartDeg) continue;
      const double gap = std::abs(offset - times * declination);
      if (gap >= nearest) continue;
      nearest = gap;
      best = {times, of_others};
    }
  return best;
}

// Other names for the same rows: the instrument that one observer had.
std::string also(const Notebook& book, const GroupOffset& group) {
  const std::set<std::size_t> mine(group.entries.begin(), group.entries.end());
  std::string out;
  for (std::size_t f = 0; f < static_cast<std::size_t>(Factor::instrument_year); ++f) {
    if (f == static_cast<std::size_t>(group.factor) || group.entries.empty()) continue;
    const NameId name = book.entries[group.entries.front()].group[f];
    if (name == 0) continue;
    std::size_t all = 0, common = 0;
    for (std::size_t i = 0; i < book.entries.size(); ++i)
      if (book.entries[i].group[f] == name) {
        ++all;
        if (mine.contains(i)) ++common;
      }
    if (common * 20 < mine.size() * 19 || common * 20 < all * 19) continue;
    out += (out.empty() ? " (" : ", ") + group_words(book, static_cast<Factor>(f), name);
  }
  return out.empty() ? out : out + ")";
}

// How the rows are written down: the settings found among them, the commonest first.
std::string settings_of(const Notebook& book, const std::vector<std::size_t>& rows) {
  std::map<NameId, std::size_t> settings;
  for (const std::size_t i : rows)
    if (const NameId name = book.entries[i].group[static_cast<std::size_t>(Factor::setting)]) ++settings[name];
  std::vector<std::pair<NameId, std::size_t>> sorted(settings.begin(), settings.end());
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  std::string out;
  for (std::size_t i = 0; i < sorted.size() && i < 2; ++i)
    out += (i > 0 ? "; " : "") + book.names.text(sorted[i].first);
  if (sorted.size() > 2) out += "; and others";
  return out;
}

std::string d_words(double declination) { return declination_side_text(declination, 1); }

// The year in which the declination was what seems to have been used, looking back from the readings.
std::optional<int> year_of(const Look& look, const std::vector<std::size_t>& rows, double used, double tolerance) {
  constexpr int kYearsBack = 80;
  const double lat = mean_of(look.book, rows, &Entry::lat), lon = mean_of(look.book, rows, &Entry::lon),
               year = mean_of(look.book, rows, &Entry::year);
  if (!has(lat) || !has(lon) || !has(year)) return std::nullopt;
  std::vector<field::Spot> spots;
  for (int back = 2; back <= kYearsBack; ++back) spots.push_back({lat, lon, 0, std::floor(year) + 0.5 - back});
  const auto answers = field::field_answers(look.catalogue, look.model, spots);
  std::optional<int> best;
  double nearest = tolerance;
  for (std::size_t i = 0; i < answers.size(); ++i) {
    if (!answers[i]) continue;
    const double gap = std::abs(answers[i]->elements.declination_deg - used);
    if (gap < nearest) nearest = gap, best = static_cast<int>(spots[i].decimal_year);
  }
  return best;
}

void tell_apart(const Look& look, const GroupOffset& group, Finding& finding) {
  const Notebook& book = look.book;
  const std::string name = group_words(book, group.factor, group.group);
  const double own = mean_of(book, group.on_lines, &Entry::declination),
               others = mean_of(book, group.others, &Entry::declination);
  const double tolerance = std::max(threshold::kApartDeg, threshold::kApartStandardErrors * group.sigma_deg);
  const Likeness like = likeness(group.offset_deg, own, others, tolerance);
  const std::string rows = rows_text(group.entries.size());
  // Of two groups the smaller is asked about first.
  const bool others_first = group.others.size() < group.on_lines.size();
  finding.degrees = std::abs(group.offset_deg);
  finding.what = "On " + std::to_string(group.lines) + " shared lines the readings of " + name + also(book, group) +
                 " stand " + clockwise_words(group.offset_deg) + " of all others (standard error " +
                 format_fixed(group.sigma_deg, 1) + ").";
  const std::string recorded = settings_of(book, group.on_lines), theirs = settings_of(book, group.others);
  const std::string as_written = " Written down: " + recorded + "; the others: " + theirs + ".";
  const Answer neither{"It was corrected rightly, and so were the others",
                       "Then the instrument reads wrong: try it on a known line, and give azimuth_index_error " +
                           format_fixed(group.offset_deg, 1) + " for its " + rows +
                           "; or the rock turns the needle there"};
  if (like.times == 0) {
    finding.check = Check::groups_differ;
    finding.what += " That is neither the declination there (" + d_words(own) + ") nor twice it." + as_written;
    finding.question = "What differs in " + name + ": another instrument, an old setting, grid for true?";
    if (const auto year = year_of(look, group.on_lines, own + group.offset_deg, 0.5)) {
      finding.answers.push_back(
          {"An old setting or an old map was used", "It fits the declination of about " + std::to_string(*year) + ", " +
                                                        d_words(own + group.offset_deg) +
                                                        ": give that as what was set or applied, and its " + rows +
                                                        " turn " + clockwise_words(-group.offset_deg)});
    }
    finding.answers.push_back(neither);
    return;
  }
  const bool twice = std::abs(like.times) == 2;
  finding.check = twice ? Check::groups_twice_apart : Check::groups_declination_apart;
  finding.what += std::string(" The declination there is ") + d_words(own) +
                  (twice ? ", and that is about twice it." : ".") + as_written;
  const auto back = [&](const std::string& whose, double by) {
    return whose + " turn " + clockwise_words(by) + " then";
  };
  const std::string mine = "its " + rows, their_rows = "their " + rows_text(group.others.size()) + " on these lines";
  std::vector<Answer> own_fault, their_fault;
  if (twice) {
    finding.question = "Which sign of the declination was set or applied in " + name + "?";
    own_fault.push_back({"The wrong one in " + name, "Write it with the right sign: " + back(mine, -group.offset_deg)});
    their_fault.push_back(
        {"The wrong one in all the others", "Write theirs with the right sign: " + back(their_rows, group.offset_deg)});
  } else {
    // Uncorrected readings stand at minus the declination, readings corrected twice at plus.
    const bool uncorrected = (group.offset_deg < 0) == (own > 0);
    finding.question = uncorrected ? "Was " + name + " ever corrected for declination, or were the others twice?"
                                   : "Was " + name + " corrected for declination twice, or were the others never?";
    own_fault.push_back(
        uncorrected ? Answer{name + " was not corrected",
                             "Say north_reference magnetic, or set_declination 0: " + back(mine, -group.offset_deg)}
                    : Answer{name + " was corrected twice (set on the circle and added again)",
                             "Say true, or what was set on the circle: " + back(mine, -group.offset_deg)});
    their_fault.push_back(
        uncorrected
            ? Answer{"The others were corrected twice",
                     "Say what was set or applied there: " + back(their_rows, group.offset_deg)}
            : Answer{"The others were not corrected", "Say magnetic there: " + back(their_rows, group.offset_deg)});
  }
  if (others_first) std::swap(own_fault, their_fault);
  for (auto* answers : {&own_fault, &their_fault})
    finding.answers.insert(finding.answers.end(), answers->begin(), answers->end());
  finding.answers.push_back(neither);
}

}  // namespace

void look_at_groups(const Look& look, const SharedResult& shared) {
  const Notebook& book = look.book;
  for (const GroupOffset& group : shared.told) {
    const std::string name = group_words(book, group.factor, group.group) + also(book, group);
    Finding& finding = look.add(Check::groups_differ);
    finding.group = name;
    finding.entries = group.entries;
    if (!group.mirrored) {
      tell_apart(look, group, finding);
      continue;
    }
    finding.check = Check::group_mirrored;
    finding.degrees = 90;
    finding.what = "On " + std::to_string(group.lines) + " shared lines the readings of " + name +
                   " run the other way round: taken as 360 minus the reading they agree with the others.";
    finding.question = "Do the figures on the dial of " + name + " run counterclockwise (east and west exchanged)?";
    finding.answers = {{"Yes, and the reading was taken at the needle's end as on an ordinary dial",
                        "Write 360 minus the reading in its " + rows_text(group.entries.size()) +
                            ", and let them be corrected anew: they turn by twice their distance from north"},
                       {"No", "Look whether the lines are named rightly: other lines may have been read"}};
  }

  if (!shared.wrong_ends.empty()) {
    Finding& finding = look.add(Check::readings_wrong_end);
    finding.entries = shared.wrong_ends;
    finding.degrees = 180;
    finding.what = rows_text(shared.wrong_ends.size()) + " stand" + (shared.wrong_ends.size() == 1 ? "s" : "") +
                   " about 180 degrees from the other readings of the same line.";
    finding.question = "Was the wrong end of the needle read, or was the line seen from its other end?";
    finding.answers = {{"From its other end", "Say backsight yes: the row comes back as the forward line"},
                       {"The wrong end", "Write the reading turned by 180"},
                       {"Neither", "Then it is another line: give it another name"}};
  }

  if (!shared.scattering.empty()) {
    const auto worst =
        std::max_element(shared.scattering.begin(), shared.scattering.end(),
                         [](const GroupOffset& a, const GroupOffset& b) { return a.scatter_f < b.scatter_f; });
    const std::string name = group_words(book, worst->factor, worst->group);
    Finding& finding = look.add(Check::groups_scatter);
    finding.group = name;
    finding.entries = rows_of(book, worst->factor, worst->group);
    finding.degrees = worst->scatter_deg / 2;
    finding.what = "The difference of " + name + " from the others changes from line to line by " +
                   degrees_words(worst->scatter_deg) + " (1-sigma, " + std::to_string(worst->lines) +
                   " lines), more than readings repeated on one line do (" + degrees_words(shared.repeat_sigma_deg) +
                   ").";
    finding.question = "Is there iron, a power line or magnetic rock near some of these stations?";
    finding.answers = {{"Yes", "Leave those stations out, or take their directions from a line or the sun"},
                       {"No", "Two surveys may be mixed: give each a sheet of its own and look again"}};
  }
}

}  // namespace agonic::review
