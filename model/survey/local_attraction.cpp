// With a(P) the attraction at P (reading minus needle azimuth) a line from P to Q read from both ends gives
//   back - fore - 180 = a(Q) - a(P).                                                                              (1)
// Stations on lines where this is zero within the tolerance are taken as free, a = 0; the others follow from (1): by
// plain propagation along the lines and against them, both of which are told, and by least squares over all lines with
// equal weights, which is what is used. The correction of a station is -a.
//
// Round a closed figure the right sides of (1) add up to zero. Lines that all differ by the same amount can therefore
// not come from places; a bent needle, or one end of the needle read at one station and the other at the next, does
// that, and the mean of both ends is right.
#include "model/survey/local_attraction.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

#include "model/survey/least_squares.hpp"
#include "model/survey/thresholds.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::survey {
namespace {

constexpr double kRounding = 1e-9;  // of sums of readings, degrees
constexpr std::size_t kNone = static_cast<std::size_t>(-1);

// A line read from both ends.
struct Edge {
  std::size_t leg, from, to;
  double difference;
};

// The coarsest division all readings are multiples of: 1, 1/2 or finer.
double division_seen(std::span<const Leg> legs) {
  for (const double step : {1.0, 0.5}) {
    const auto fits = [&](const std::optional<double>& a) {
      return !a || std::abs(std::remainder(*a, step)) < kRounding;
    };
    if (std::all_of(legs.begin(), legs.end(), [&](const Leg& leg) { return fits(leg.fore_deg) && fits(leg.back_deg); }))
      return step;
  }
  return threshold::kFinestCount;
}

// Groups of nodes tied together by pairs.
class Groups {
 public:
  explicit Groups(std::size_t n) : above_(n) { std::iota(above_.begin(), above_.end(), std::size_t{0}); }
  std::size_t top(std::size_t i) {
    while (above_[i] != i) i = above_[i] = above_[above_[i]];
    return i;
  }
  void tie(std::size_t a, std::size_t b) { above_[std::max(top(a), top(b))] = std::min(top(a), top(b)); }

 private:
  std::vector<std::size_t> above_;
};

class Work {
 public:
  Work(std::span<const Leg> legs, const AttractionRules& rules, LocalAttraction& out)
      : legs_(legs), rules_(rules), out_(out) {}

  std::optional<Problem> run() {
    name_stations();
    look_at_legs();
    held_.assign(out_.stations.size(), false);
    if (!rules_.free.empty()) {
      for (const std::string& name : rules_.free) {
        const auto found = index_.find(name);
        if (found == index_.end())
          return Problem{Code::unknown_name, "free_stations", name, "no line has a station of this name",
                         "Give names from the columns from and to"};
        held_[found->second] = true;
        out_.stations[found->second].state = StationState::declared;
      }
    } else if (!constant()) {
      hold_agreeing();
    }
    propagate();
    adjust();
    finish_legs();
    return std::nullopt;
  }

 private:
  std::size_t station(const std::string& name) {
    const auto [at, fresh] = index_.emplace(name, out_.stations.size());
    if (fresh) {
      out_.stations.emplace_back();
      out_.stations.back().name = name;
    }
    return at->second;
  }
  void name_stations() {
    for (const Leg& leg : legs_) {
      const std::size_t from = station(leg.from);  // in this order
      ends_.emplace_back(from, station(leg.to));
    }
  }
  void look_at_legs() {
    out_.legs.resize(legs_.size());
    for (std::size_t i = 0; i < legs_.size(); ++i) {
      const Leg& leg = legs_[i];
      LegFinding& finding = out_.legs[i];
      if (!leg.fore_deg || !leg.back_deg) {
        finding.state = leg.fore_deg || leg.back_deg ? LegState::one_sided : LegState::unread;
        continue;
      }
      finding.difference_deg = wrap_180(*leg.back_deg - *leg.fore_deg - 180);
      if (std::abs(wrap_180(*leg.back_deg - *leg.fore_deg)) <= threshold::kReversedDeg) {
        finding.state = LegState::reversed;
        continue;
      }
      finding.state = within(*finding.difference_deg) ? LegState::agrees : LegState::differs;
      edges_.push_back({i, ends_[i].first, ends_[i].second, *finding.difference_deg});
    }
  }
  [[nodiscard]] bool within(double difference) const { return std::abs(difference) <= out_.tolerance_deg + kRounding; }
  // More than errors of reading make of two ends that agree.
  [[nodiscard]] bool beyond_doubt(double difference) const {
    return std::abs(difference) > threshold::kMisreadTolerances * out_.tolerance_deg + kRounding;
  }
  // Three lines or more that differ by the same, and by more than the tolerance.
  bool constant() {
    if (edges_.size() < 3) return false;
    const auto [least, most] = std::minmax_element(
        edges_.begin(), edges_.end(), [](const Edge& a, const Edge& b) { return a.difference < b.difference; });
    const double mean = std::accumulate(edges_.begin(), edges_.end(), 0.0,
                                        [](double sum, const Edge& e) { return sum + e.difference; }) /
                        static_cast<double>(edges_.size());
    if (most->difference - least->difference > out_.tolerance_deg + kRounding || within(mean)) return false;
    out_.constant_difference_deg = mean;
    return true;
  }

  // Groups of lines that agree. In each connected part the group with most lines is held; another one only where lines
  // between them nearly agree or all of them together say the same, else it is told as a conflict.
  void hold_agreeing() {
    const std::size_t n = out_.stations.size();
    Groups agreeing(n), nearly(n), parts(n);
    for (const Edge& e : edges_) {
      parts.tie(e.from, e.to);
      if (!beyond_doubt(e.difference)) nearly.tie(e.from, e.to);
      if (out_.legs[e.leg].state == LegState::agrees) agreeing.tie(e.from, e.to);
    }
    std::vector<std::size_t> lines(n, 0);  // by the top of the group
    for (const Edge& e : edges_)
      if (out_.legs[e.leg].state == LegState::agrees) ++lines[agreeing.top(e.from)];
    std::vector<std::size_t> main(n, kNone);  // of the part
    for (std::size_t i = 0; i < n; ++i)
      if (lines[i] > 0) {
        std::size_t& best = main[parts.top(i)];
        if (best == kNone || lines[i] > lines[best]) best = i;
      }
    for (std::size_t i = 0; i < n; ++i) held_[i] = main[parts.top(i)] != kNone && agreeing.top(i) == main[parts.top(i)];
    const std::vector<double> a = attractions();
    for (std::size_t top = 0; top < n; ++top) {
      if (lines[top] == 0 || main[parts.top(top)] == top) continue;
      GroupConflict conflict;
      double sum = 0;
      const bool near = nearly.top(top) == nearly.top(main[parts.top(top)]);
      bool same = true;
      for (std::size_t i = 0; i < n; ++i)
        if (agreeing.top(i) == top) {
          conflict.stations.push_back(out_.stations[i].name);
          sum += a[i];
          same = same && within(a[i]);
        }
      if (near || same) {
        for (std::size_t i = 0; i < n; ++i)
          if (agreeing.top(i) == top) held_[i] = true;
      } else {
        conflict.apart_deg = sum / static_cast<double>(conflict.stations.size());
        out_.conflicts.push_back(std::move(conflict));
      }
    }
    for (std::size_t i = 0; i < n; ++i)
      if (held_[i]) out_.stations[i].state = StationState::free;
  }

  // Equation (1) from the held stations outward, along the lines in their order, or against them in the inverse one.
  [[nodiscard]] std::vector<std::optional<double>> carried(bool along, bool both) const {
    std::vector<std::optional<double>> a(out_.stations.size());
    for (std::size_t i = 0; i < a.size(); ++i)
      if (held_[i]) a[i] = 0;
    for (bool moved = true; moved;) {
      moved = false;
      for (std::size_t k = 0; k < edges_.size(); ++k) {
        const Edge& e = edges_[along ? k : edges_.size() - 1 - k];
        if ((along || both) && a[e.from] && !a[e.to])
          a[e.to] = *a[e.from] + e.difference, moved = true;
        else if ((!along || both) && a[e.to] && !a[e.from])
          a[e.from] = *a[e.to] - e.difference, moved = true;
      }
    }
    return a;
  }
  void propagate() {
    const auto along = carried(true, false), against = carried(false, false);
    for (std::size_t i = 0; i < out_.stations.size(); ++i) {
      if (along[i]) out_.stations[i].forward_deg = 0.0 - *along[i];
      if (against[i]) out_.stations[i].backward_deg = 0.0 - *against[i];
    }
  }

  // Least squares over all lines; NaN never leaves: stations out of reach keep 0 and are not used.
  std::vector<double> attractions() {
    const auto first = carried(true, true);
    std::vector<double> a(first.size(), 0);
    std::vector<std::size_t> place(first.size(), kNone);
    reached_.assign(first.size(), false);
    std::size_t unknowns = 0;
    for (std::size_t i = 0; i < first.size(); ++i) {
      reached_[i] = first[i].has_value();
      if (first[i] && !held_[i]) place[i] = unknowns++;
    }
    NormalEquations equations(unknowns);
    for (const Edge& e : edges_) {
      std::vector<NormalEquations::Term> terms;
      if (place[e.to] != kNone) terms.emplace_back(place[e.to], 1);
      if (place[e.from] != kNone) terms.emplace_back(place[e.from], -1);
      equations.observe(terms, e.difference, 1);
    }
    // Every unknown is tied to a held station, and kMostLegs bounds the work: there always is a solution.
    const auto x = equations.solve(std::numeric_limits<double>::infinity());
    for (std::size_t i = 0; i < a.size(); ++i)
      if (place[i] != kNone) a[i] = x ? (*x)[place[i]] : *first[i];
    return a;
  }
  void adjust() {
    const auto a = attractions();
    for (std::size_t i = 0; i < a.size(); ++i) {
      if (!reached_[i]) continue;
      Station& station = out_.stations[i];
      station.correction_deg = 0.0 - a[i];
      if (!held_[i]) station.state = StationState::attracted;
    }
  }

  void finish_legs() {
    for (std::size_t i = 0; i < legs_.size(); ++i) {
      LegFinding& finding = out_.legs[i];
      const auto& [from, to] = ends_[i];
      const auto corrected = [&](const std::optional<double>& read, std::size_t at) -> std::optional<double> {
        if (!read || !out_.stations[at].correction_deg) return std::nullopt;
        return wrap_360(*read + *out_.stations[at].correction_deg);
      };
      const bool doubtful = finding.state == LegState::reversed;
      finding.corrected_fore_deg = corrected(legs_[i].fore_deg, from);
      if (!doubtful) finding.corrected_back_deg = corrected(legs_[i].back_deg, to);
      if (finding.state == LegState::differs && held_[from] && held_[to] && beyond_doubt(*finding.difference_deg))
        finding.state = LegState::misread;
      std::optional<double> fore = finding.corrected_fore_deg, back = finding.corrected_back_deg;
      finding.checked = fore || back;
      if (fore && back) finding.leftover_deg = wrap_180(*back - *fore - 180);
      if (!finding.checked && (out_.constant_difference_deg || finding.state == LegState::one_sided || doubtful)) {
        // The mean of both ends is right; a single end is all there is.
        fore = legs_[i].fore_deg;
        if (!doubtful) back = legs_[i].back_deg;
        finding.checked = fore && back;
      }
      if (fore && back && !doubtful)
        finding.azimuth_deg = wrap_360(*fore + wrap_180(*back - *fore - 180) / 2);
      else if (fore)
        finding.azimuth_deg = fore;
      else if (back && !doubtful)
        finding.azimuth_deg = wrap_360(*back + 180);
    }
  }

  std::span<const Leg> legs_;
  const AttractionRules& rules_;
  LocalAttraction& out_;
  std::map<std::string, std::size_t, std::less<>> index_;
  std::vector<std::pair<std::size_t, std::size_t>> ends_;  // one a leg
  std::vector<Edge> edges_;
  std::vector<bool> held_, reached_;
};

}  // namespace

std::string_view word(StationState state) noexcept {
  switch (state) {
    case StationState::free:
      return "free";
    case StationState::declared:
      return "declared-free";
    case StationState::attracted:
      return "corrected";
    case StationState::unknown:
      break;
  }
  return "unknown";
}

std::string_view word(LegState state) noexcept {
  switch (state) {
    case LegState::agrees:
      return "agrees";
    case LegState::differs:
      return "differs";
    case LegState::misread:
      return "misread";
    case LegState::one_sided:
      return "one-sided";
    case LegState::reversed:
      return "reversed";
    case LegState::unread:
      break;
  }
  return "unread";
}

const Station* LocalAttraction::find(std::string_view name) const {
  const auto found = std::find_if(stations.begin(), stations.end(), [&](const Station& s) { return s.name == name; });
  return found == stations.end() ? nullptr : &*found;
}

bool LocalAttraction::any_free() const {
  return std::any_of(stations.begin(), stations.end(), [](const Station& s) {
    return s.state == StationState::free || s.state == StationState::declared;
  });
}

Result<LocalAttraction> local_attraction(std::span<const Leg> legs, const AttractionRules& rules) {
  if (legs.empty())
    return Problem{Code::missing_value, "legs", {}, "there is no line to work with", "Give lines with from, to, fore"};
  if (legs.size() > kMostLegs)
    return Problem{Code::too_large, "legs", std::to_string(legs.size()),
                   "a traverse has at most " + std::to_string(kMostLegs) + " lines", "Give it in parts"};
  if (rules.tolerance_deg && !(*rules.tolerance_deg > 0 && *rules.tolerance_deg <= 10))
    return Problem{Code::out_of_range, "tolerance_deg", format_trimmed(*rules.tolerance_deg),
                   "fore and back agree within more than 0 and at most 10 degrees",
                   "Give the division of the circle, or what its user reads to"};
  LocalAttraction out;
  out.tolerance_given = rules.tolerance_deg.has_value();
  out.tolerance_deg = rules.tolerance_deg ? *rules.tolerance_deg : division_seen(legs);
  if (auto problem = Work(legs, rules, out).run()) return *problem;
  return out;
}

}  // namespace agonic::survey
