// Azimuths become numbers by counting each from its line's median; mistakes are left out before the adjustment by a
// median polish (J. W. Tukey, Exploratory Data Analysis, Addison-Wesley 1977, chapter 11). Normal equations with the
// offsets' sum as a constraint, which the pseudo-inverse holds by itself.
#include "model/instrument/baseline.hpp"

#include <algorithm>
#include <cmath>
#include <eigen3/Eigen/Dense>
#include <unordered_map>

#include "model/instrument/distributions.hpp"
#include "model/instrument/fit_parts.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

using Index = Eigen::Index;

// Numbers for names, in the order in which they first appear.
class Names {
 public:
  std::size_t number(const std::string& name) {
    const auto [at, is_new] = numbers_.try_emplace(name, names_.size());
    if (is_new) names_.push_back(name);
    return at->second;
  }
  [[nodiscard]] std::size_t size() const { return names_.size(); }
  const std::string& operator[](std::size_t i) const { return names_[i]; }

 private:
  std::unordered_map<std::string, std::size_t> numbers_;
  std::vector<std::string> names_;
};

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

struct Cell {
  std::size_t instrument, line;
  double value, sigma;
};

// Are all joined? Marks spread from the first instrument over its lines to theirs.
bool joined(const std::vector<Cell>& cells, std::size_t instruments, std::size_t lines) {
  std::vector<bool> seen(instruments, false), line_seen(lines, false);
  seen[0] = true;
  for (bool grew = true; grew;) {
    grew = false;
    for (const Cell& cell : cells)
      if (seen[cell.instrument] != line_seen[cell.line]) seen[cell.instrument] = line_seen[cell.line] = grew = true;
  }
  return std::all_of(seen.begin(), seen.end(), [](bool is) { return is; });
}

// Residuals of a median polish.
std::vector<double> polished(const std::vector<Cell>& cells, std::size_t instruments, std::size_t lines) {
  std::vector<double> residual;
  residual.reserve(cells.size());
  for (const Cell& cell : cells) residual.push_back(cell.value);
  for (int round = 0; round < 8; ++round)
    for (const bool by_line : {true, false})
      for (std::size_t group = 0; group < (by_line ? lines : instruments); ++group) {
        std::vector<double> values;
        for (std::size_t i = 0; i < cells.size(); ++i)
          if ((by_line ? cells[i].line : cells[i].instrument) == group) values.push_back(residual[i]);
        const double middle = median(values);
        for (std::size_t i = 0; i < cells.size(); ++i)
          if ((by_line ? cells[i].line : cells[i].instrument) == group) residual[i] -= middle;
      }
  return residual;
}

}  // namespace

Result<BaselineFit> fit_baseline(std::span<const BaselineReading> readings) {
  Names instruments, lines;
  std::vector<Cell> cells;
  bool stated = true;
  for (const BaselineReading& r : readings) {
    cells.push_back({instruments.number(r.instrument), lines.number(r.line), 0, r.sigma_deg});
    stated = stated && r.sigma_stated;
  }
  const std::size_t unknowns = instruments.size() + lines.size();
  if (instruments.size() < 2)
    return Problem{Code::missing_value, "instrument", "", "a baseline needs at least two instruments",
                   "Name the instrument of each sighting"};
  if (unknowns > kMostUnknowns)
    return Problem{Code::too_large, "line", "", "too many lines and instruments for one adjustment",
                   "Send it in parts"};
  if (!joined(cells, instruments.size(), lines.size()))
    return Problem{Code::contradiction, "line", "", "not all instruments are joined by lines that they share",
                   "Sight at least one line with every instrument"};
  for (std::size_t line = 0; line < lines.size(); ++line) {
    std::vector<double> angles;
    for (std::size_t i = 0; i < cells.size(); ++i)
      if (cells[i].line == line) angles.push_back(wrap_180(readings[i].magnetic_deg - readings[i].known_deg));
    const double centre = agreement_of(angles).centre_deg;
    for (std::size_t i = 0; i < cells.size(); ++i)
      if (cells[i].line == line) cells[i].value = wrap_180(readings[i].magnetic_deg - readings[i].known_deg - centre);
  }

  // What lies far off is left out before the adjustment.
  const std::vector<double> rough = polished(cells, instruments.size(), lines.size());
  std::vector<double> sizes;
  for (std::size_t i = 0; i < cells.size(); ++i) sizes.push_back(std::abs(rough[i]) / cells[i].sigma);
  const double cut =
      student_quantile(kFalseAlarm / static_cast<double>(cells.size()), stated ? kStatedSigmaWeight : 10) *
      std::max(1.0, 1.4826 * median(sizes));
  std::vector<std::size_t> used;
  for (std::size_t i = 0; i < cells.size(); ++i)
    if (sizes[i] <= cut) used.push_back(i);

  const auto n = static_cast<Index>(used.size()), p = static_cast<Index>(unknowns);
  const auto k = static_cast<Index>(instruments.size());
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n + 1, p);
  Eigen::VectorXd y = Eigen::VectorXd::Zero(n + 1);
  for (Index row = 0; row < n; ++row) {
    const Cell& cell = cells[used[static_cast<std::size_t>(row)]];
    a(row, static_cast<Index>(cell.instrument)) = 1 / cell.sigma;
    a(row, k + static_cast<Index>(cell.line)) = 1 / cell.sigma;
    y(row) = cell.value / cell.sigma;
  }
  a.row(n).head(k).setOnes();  // the offsets add up to nothing
  const Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> solver(a);
  const Eigen::VectorXd x = solver.solve(y);
  const Eigen::MatrixXd inverse = solver.pseudoInverse();
  const double weighted = (y - a * x).squaredNorm();

  BaselineFit fit;
  fit.dof = static_cast<int>(n + 1 - solver.rank());
  Solution summary;
  summary.weighted_sum = weighted;
  summary.dof = std::max(fit.dof, 0);
  const Scale scale = scale_of(summary, stated);
  std::vector<std::vector<double>> residuals(instruments.size());
  double sum = 0;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const Cell& cell = cells[i];
    Outcome outcome;
    const double line = x(k + static_cast<Index>(cell.line));
    outcome.index_deg = wrap_180(cell.value - line);
    outcome.residual_deg = wrap_180(outcome.index_deg - x(static_cast<Index>(cell.instrument)));
    outcome.sigma_deg = cell.sigma;
    outcome.used = sizes[i] <= cut;
    if (outcome.used) {
      residuals[cell.instrument].push_back(outcome.residual_deg);
      sum += outcome.residual_deg * outcome.residual_deg;
    } else {
      const double expected = outcome.index_deg - outcome.residual_deg;
      const double mirrored = outcome.index_deg - 2 * readings[i].magnetic_deg;  // (360 - x) in place of x
      outcome.or_else = explain({{Blunder::wrong_end, outcome.index_deg + 180}, {Blunder::mirror_figures, mirrored}},
                                expected, outcome.residual_deg, cut * cell.sigma);
      outcome.blunder = outcome.or_else.empty() ? Blunder::gross : outcome.or_else.front();
      if (!outcome.or_else.empty()) outcome.or_else.erase(outcome.or_else.begin());
    }
    fit.outcomes.push_back(std::move(outcome));
  }
  if (fit.dof > 0) fit.scatter_deg = std::sqrt(sum / fit.dof);
  double low = 0, high = 0;
  for (std::size_t i = 0; i < instruments.size(); ++i) {
    InstrumentOffset offset;
    offset.instrument = instruments[i];
    offset.offset_deg = x(static_cast<Index>(i));
    const double variance = inverse.row(static_cast<Index>(i)).head(n).squaredNorm();
    offset.sigma_deg = std::sqrt(scale.factor * variance) * scale.widening;
    offset.n = residuals[i].size();
    double squares = 0;
    for (const double v : residuals[i]) squares += v * v;
    if (offset.n > 1) offset.spread_deg = std::sqrt(squares / static_cast<double>(offset.n - 1));
    low = std::min(low, offset.offset_deg);
    high = std::max(high, offset.offset_deg);
    fit.offsets.push_back(offset);
  }
  if (high - low > kInstrumentsDifferDeg)
    fit.remarks.push_back({"instruments-differ", "The instruments differ by " + format_fixed(high - low, 2) +
                                                     " degrees: merge their readings only with the index error of "
                                                     "each taken off, and see which one a known line agrees with."});
  return fit;
}

}  // namespace agonic::instrument
