// The report put together: the looks, the groups, the order of the questions.
#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "model/review/look.hpp"
#include "model/review/measure.hpp"
#include "model/review/reviewer.hpp"
#include "model/survey/statistics.hpp"
#include "model/units/number.hpp"

namespace agonic::review {

std::string group_words(const Notebook& book, Factor factor, NameId group) {
  const auto f = static_cast<std::size_t>(factor);
  const std::string& name = book.names.text(group);
  return factor == Factor::setting ? "'" + name + "'" : book.factor_names[f] + " " + name;
}

std::string degrees_words(double degrees, int decimals) {
  const std::string text = format_fixed(std::abs(degrees), decimals);
  return text + (text == "1" || text == "1.0" ? " degree" : " degrees");
}

std::string clockwise_words(double degrees) {
  return degrees_words(degrees) + (degrees < 0 ? " counterclockwise" : " clockwise");
}

std::vector<std::size_t> rows_of(const Notebook& book, Factor factor, NameId group) {
  std::vector<std::size_t> rows;
  for (std::size_t i = 0; i < book.entries.size(); ++i)
    if (book.entries[i].group[static_cast<std::size_t>(factor)] == group) rows.push_back(i);
  return rows;
}

Factor person(const Notebook& book) {
  for (const Factor factor : {Factor::observer, Factor::instrument})
    if (std::any_of(book.entries.begin(), book.entries.end(),
                    [&](const Entry& e) { return e.group[static_cast<std::size_t>(factor)] != 0; }))
      return factor;
  return Factor::observer;
}

double mean_of(const Notebook& book, const std::vector<std::size_t>& rows, double Entry::*value) {
  double sum = 0;
  std::size_t n = 0;
  for (const std::size_t i : rows)
    if (has(book.entries[i].*value)) sum += book.entries[i].*value, ++n;
  return n == 0 ? Entry::kNone : sum / static_cast<double>(n);
}

double median_of(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

namespace {

// Directions of a group that can have one mean: all lines and directions, or all planes.
void fill_mean(const Notebook& book, const std::vector<std::size_t>& rows, GroupReport& group, bool& across_north) {
  std::vector<double> directions, axes;
  for (const std::size_t i : rows) {
    const Entry& e = book.entries[i];
    if (!has(e.azimuth_true)) continue;
    if (e.kind == reading::Kind::plane)
      axes.push_back(wrap_360(e.strike_true));
    else
      directions.push_back(e.azimuth_true);
  }
  const bool of_axes = axes.size() > directions.size();
  auto& angles = of_axes ? axes : directions;
  if (angles.size() < 3) return;
  const auto mean = of_axes ? survey::axial_mean(angles) : survey::circular_mean(angles);
  if (!mean || mean->resultant_length < threshold::kMeanResultant) return;
  group.mean_deg = mean->mean_deg;
  group.mean_of_axes = of_axes;
  if (of_axes)
    for (double& angle : angles) angle = angle >= 180 ? angle - 180 : angle;
  const double plain = std::accumulate(angles.begin(), angles.end(), 0.0) / static_cast<double>(angles.size());
  across_north = std::abs(std::remainder(plain - mean->mean_deg, of_axes ? 180 : 360)) > threshold::kMeanDeg;
}

void report_groups(const Look& look, Report& report, const SharedResult& shared) {
  const Notebook& book = report.notebook;
  std::vector<double> residual(book.entries.size(), Entry::kNone);
  std::vector<std::size_t> line_of(book.entries.size(), 0);
  for (const Residual& r : shared.residuals) residual[r.entry] = r.degrees;
  for (const std::size_t i : shared.wrong_ends) residual[i] = Entry::kNone;  // one would hide how the others stand
  for (std::size_t l = 0; l < shared.lines.size(); ++l)
    for (const std::size_t i : shared.lines[l].entries) line_of[i] = l;

  std::vector<std::string> across;
  std::vector<std::size_t> across_rows;
  for (std::size_t f = 0; f < static_cast<std::size_t>(Factor::instrument_year); ++f) {
    std::map<std::string, NameId> names;
    for (const Entry& e : book.entries)
      if (e.group[f] != 0) names.emplace(book.names.text(e.group[f]), e.group[f]);
    for (const auto& [name, id] : names) {
      GroupReport group;
      group.factor = static_cast<Factor>(f);
      group.name = name;
      const auto rows = rows_of(book, group.factor, id);
      std::map<std::size_t, std::pair<double, int>> lines;
      for (const std::size_t i : rows) {
        const Entry& e = book.entries[i];
        ++group.rows;
        if (e.status == reading::Status::refused) ++group.refused;
        if (has(e.year)) {
          if (!group.first || e.day < *group.first) group.first = e.day;
          if (!group.last || e.day > *group.last) group.last = e.day;
        }
        if (has(e.declination) && !look.misplaced[i]) group.declination.add(e.declination);
        if (has(e.set)) group.setting.add(e.set);
        if (has(residual[i])) lines[line_of[i]].first += residual[i], ++lines[line_of[i]].second;
      }
      if (lines.size() >= static_cast<std::size_t>(threshold::kSharedLines)) {
        double sum = 0, squares = 0;
        const auto n = static_cast<double>(lines.size());
        for (const auto& [line, total] : lines) sum += total.first / total.second;
        for (const auto& [line, total] : lines) {
          const double off = total.first / total.second - sum / n;
          squares += off * off;
        }
        group.standing = Standing{sum / n, std::sqrt(squares / (n - 1) / n), static_cast<int>(lines.size())};
      }
      bool across_north = false;
      fill_mean(book, rows, group, across_north);
      if (across_north && group.factor != Factor::setting) {
        across.push_back(group_words(book, group.factor, id));
        across_rows.insert(across_rows.end(), rows.begin(), rows.end());
      }
      report.groups.push_back(std::move(group));
    }
  }
  if (across.empty()) return;
  constexpr std::size_t kNamed = 4;
  Finding& finding = look.add(Check::mean_across_north);
  std::string named;
  for (std::size_t i = 0; i < std::min(across.size(), kNamed); ++i) named += (i > 0 ? ", " : "") + across[i];
  if (across.size() > kNamed) named += " and " + std::to_string(across.size() - kNamed) + " more";
  std::sort(across_rows.begin(), across_rows.end());
  across_rows.erase(std::unique(across_rows.begin(), across_rows.end()), across_rows.end());
  finding.entries = std::move(across_rows);
  finding.what = "The directions of " + named +
                 " lie on both sides of north: their arithmetic mean would be off by more than 1 degree. The means in "
                 "this report are circular.";
}

}  // namespace

Report look_at(const field::Catalogue& catalogue, std::string_view model, Notebook notebook) {
  Report report;
  report.notebook = std::move(notebook);
  const Notebook& book = report.notebook;
  std::vector<char> misplaced(book.entries.size(), 0);
  const Look look{catalogue, model, book, report.findings, misplaced};
  look_at_places(look);
  SharedResult shared = look_at_shared_lines(book);
  look_at_groups(look, shared);
  look_at_settings(look);
  look_at_dates(look);
  look_at_planes(look);
  look_at_figures(look);
  look_at_rows(look);

  std::vector<double> declinations;
  for (std::size_t i = 0; i < book.entries.size(); ++i) {
    const Entry& e = book.entries[i];
    if (has(e.year)) {
      if (!report.first || e.day < *report.first) report.first = e.day;
      if (!report.last || e.day > *report.last) report.last = e.day;
    }
    if (misplaced[i]) continue;
    if (has(e.lat)) report.latitude.add(e.lat), report.longitude.add(e.lon);
    if (has(e.declination)) report.declination.add(e.declination), declinations.push_back(e.declination);
  }
  report.median_declination = median_of(std::move(declinations));
  report_groups(look, report, shared);
  report.shared_lines = shared.lines.size();
  report.repeat_sigma_deg = shared.repeat_sigma_deg;
  report.residuals = std::move(shared.residuals);
  std::stable_sort(report.findings.begin(), report.findings.end(), [](const Finding& a, const Finding& b) {
    const bool ask_a = !a.question.empty(), ask_b = !b.question.empty();
    return ask_a != ask_b ? ask_a : a.weight() > b.weight();
  });
  return report;
}

}  // namespace agonic::review
