// Strikes and dip directions, habits of reading, figures finer than they can be, means across north.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>

#include "model/instrument/distributions.hpp"
#include "model/review/look.hpp"
#include "model/review/measure.hpp"
#include "model/survey/statistics.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

using reading::Kind;
using reading::PlaneConvention;

// The rows of every person (or of the file where nobody is named) that are wanted.
template <class Wanted>
std::map<NameId, std::vector<std::size_t>> by_person(const Notebook& book, Wanted&& wanted) {
  const auto who = static_cast<std::size_t>(person(book));
  std::map<NameId, std::vector<std::size_t>> out;
  for (std::size_t i = 0; i < book.entries.size(); ++i)
    if (book.entries[i].read && wanted(book.entries[i])) out[book.entries[i].group[who]].push_back(i);
  return out;
}

std::string by_whom(const Notebook& book, NameId name) {
  return name == 0 ? "" : std::string(person(book) == Factor::observer ? " by " : " with ") + book.names.text(name);
}

void look_at_half_circle(const Look& look) {
  const Notebook& book = look.book;
  const auto strikes = by_person(book, [](const Entry& e) {
    return e.kind == Kind::plane && !e.dip_letter && !e.quadrant &&
           (e.convention == PlaneConvention::right_hand || e.convention == PlaneConvention::left_hand);
  });
  for (const auto& [name, rows] : strikes) {
    if (rows.size() < static_cast<std::size_t>(threshold::kHalfCirclePlanes)) continue;
    Range range;
    for (const std::size_t i : rows) range.add(book.entries[i].as_read);
    if (range.high >= 180 || range.width() <= threshold::kHalfCircleSpanDeg) continue;
    Finding& finding = look.add(Check::strikes_half_circle);
    finding.entries = rows;
    finding.degrees = 90;  // half of them would turn by 180
    finding.group = book.names.text(name);
    finding.what = "All " + std::to_string(rows.size()) + " strikes" + by_whom(book, name) + " lie below 180 (" +
                   format_fixed(range.low, 0) + " to " + format_fixed(range.high, 0) +
                   "), though declared right- or left-handed and without a dip letter.";
    finding.question = "Was the end of the strike nearer to north written down, whichever side the plane dips to?";
    finding.answers = {
        {"Yes", "Say quadrant and give the dip its letter: about half of the planes dip to the other side"},
        {"No, all of them dip that way", "Nothing to do"}};
  }
}

void look_at_pairs(const Look& look) {
  const Notebook& book = look.book;
  std::vector<std::size_t> rows;
  double most = 0;
  for (std::size_t i = 0; i < book.entries.size(); ++i) {
    const Entry& e = book.entries[i];
    if (e.kind != Kind::plane || !e.read) continue;
    const bool strike_read = e.convention != PlaneConvention::dip_direction;
    const double strike = strike_read ? e.as_read : e.other_strike;
    const double direction = strike_read ? e.other_dip_direction : e.as_read;
    if (!has(strike) || !has(direction)) continue;
    const double off = std::abs(std::abs(wrap_180(direction - strike)) - 90);
    if (off <= threshold::kDipDirectionDeg) continue;
    rows.push_back(i);
    most = std::max(most, off);
  }
  if (rows.empty()) return;
  Finding& finding = look.add(Check::strike_dip_direction);
  finding.degrees = most;
  finding.what = "In " + rows_text(rows.size()) + " strike and dip direction are not 90 degrees apart, by up to " +
                 degrees_words(most, 0) + ".";
  finding.entries = std::move(rows);
  finding.question = "Which of the two stands in the notebook?";
  finding.answers = {{"The one in azimuth", "Correct or empty the other column"},
                     {"The other", "Write it into azimuth, with its plane_convention"}};
}

void look_at_last_digits(const Look& look) {
  const Notebook& book = look.book;
  const auto wanted = by_person(book, [](const Entry& e) { return e.decimals == 0 && !e.quadrant; });
  for (const auto& [name, rows] : wanted) {
    if (rows.size() < static_cast<std::size_t>(threshold::kHeapingRows)) continue;
    std::array<double, 10> digits{};
    for (const std::size_t i : rows) ++digits[static_cast<std::size_t>(std::lround(book.entries[i].as_read)) % 10];
    const double expected = static_cast<double>(rows.size()) / 10;
    double chi_square = 0;
    for (const double n : digits) chi_square += (n - expected) * (n - expected) / expected;
    const double chance = 1 - instrument::chi_square_probability(chi_square, 9);
    const double share = (digits[0] + digits[5]) / static_cast<double>(rows.size());
    if (chance > threshold::kHeapingChance || share <= threshold::kHeapingShare) continue;
    const bool tens = digits[5] < expected;
    Finding& finding = look.add(Check::azimuth_heaping);
    finding.entries = rows;
    finding.degrees = tens ? 2.9 : 1.4;  // 10 or 5 over sqrt(12)
    finding.group = book.names.text(name);
    finding.what = format_fixed(100 * share, 0) + " % of " + std::to_string(rows.size()) + " azimuths" +
                   by_whom(book, name) + " end in 0 or 5, where 20 % would by chance (chi-square " +
                   format_fixed(chi_square, 0) + " with 9 degrees of freedom).";
    finding.question = std::string("Were they read to ") + (tens ? "10" : "5") + " degrees?";
    finding.answers = {
        {"Yes", std::string("Give graduation ") + (tens ? "10" : "5") + " for them: their azimuth_sigma then says so"},
        {"No", "Nothing to do"}};
  }
}

// The unit that azimuths are written in, degrees; nothing where they are not plain numbers.
std::optional<double> unit_of(const Notebook& book, const std::vector<std::size_t>& rows) {
  signed char most = 0;
  bool halves = true;
  for (const std::size_t i : rows) {
    most = std::max(most, book.entries[i].decimals);
    const double doubled = book.entries[i].as_read * 2;
    halves &= std::abs(doubled - std::round(doubled)) < 1e-9;
  }
  if (most <= 0) return std::nullopt;
  return halves ? 0.5 : std::pow(10.0, -most);
}

void look_at_fineness(const Look& look) {
  const Notebook& book = look.book;
  const auto wanted = by_person(book, [](const Entry& e) {
    return e.decimals >= 0 && has(e.azimuth_sigma) && e.north == reading::NorthReference::circle;
  });
  for (const auto& [name, rows] : wanted) {
    if (rows.size() < static_cast<std::size_t>(threshold::kHalfCirclePlanes)) continue;
    const auto unit = unit_of(book, rows);
    std::vector<double> sigmas;
    for (const std::size_t i : rows) sigmas.push_back(book.entries[i].azimuth_sigma);
    const double sigma = median_of(sigmas);
    if (!unit || *unit >= threshold::kTooFineSigmas * sigma) continue;
    Finding& finding = look.add(Check::azimuth_too_fine);
    finding.entries = rows;
    finding.group = book.names.text(name);
    finding.what = std::to_string(rows.size()) + " azimuths" + by_whom(book, name) + " are written to " +
                   format_trimmed(*unit, 3) + " degree, while their sigma is " + format_fixed(sigma, 2) +
                   " and the needle swings by 0.2 to 0.5 degree in a day.";
  }
}

void look_at_observed(const Look& look) {
  const Notebook& book = look.book;
  for (const bool reject : {true, false}) {
    std::vector<std::size_t> rows;
    double most = 0;
    for (std::size_t i = 0; i < book.entries.size(); ++i) {
      const Entry& e = book.entries[i];
      if (!has(e.observed) || !has(e.declination)) continue;
      const double off = std::abs(wrap_180(e.observed - e.declination));
      if (off <= threshold::kObservedDeg || (off > threshold::kObservedRejectDeg) != reject) continue;
      rows.push_back(i);
      most = std::max(most, off);
    }
    if (rows.empty()) continue;
    Finding& finding = look.add(reject ? Check::observed_declination_reject : Check::observed_declination_off);
    finding.degrees = most;
    finding.what = "In " + rows_text(rows.size()) +
                   " the declination observed on the spot differs from the model's by " +
                   (rows.size() == 1 ? "" : "up to ") + degrees_words(most) + ".";
    finding.entries = std::move(rows);
    finding.question = "How was it observed, and how often?";
    finding.answers = {
        {"From the sun or a line, several times alike", "Keep it: local rock does that; say so in a note"},
        {"Once, or nobody knows", "Leave site_declination blank: the model's is used then"}};
  }
}

}  // namespace

void look_at_planes(const Look& look) {
  look_at_half_circle(look);
  look_at_pairs(look);
}

void look_at_figures(const Look& look) {
  look_at_last_digits(look);
  look_at_fineness(look);
  look_at_observed(look);
}

}  // namespace agonic::review
