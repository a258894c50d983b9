#include "model/review/shared_lines.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>

#include "model/instrument/distributions.hpp"
#include "model/review/measure.hpp"
#include "model/units/angle.hpp"

namespace agonic::review {
namespace {

constexpr double kRadToSigma = 1.4826;  // of a median absolute deviation, for normal errors
constexpr double kGrossDeg = 10;        // a repeat that far off is no repeat
constexpr int kMostTold = 12;
constexpr double kSmaller = 1.05;
constexpr double kSimpler = 1.15;  // a group of two factors must explain this much more than one of one

double turn(double angle, double period) noexcept { return std::remainder(angle, period); }

// The sum of unit vectors, the period stretched to the full circle.
struct Sum {
  double cosine = 0, sine = 0, dip = 0;
  int n = 0;
  void add(double angle, double period, double dip_deg) noexcept {
    cosine += cos_deg(angle * 360 / period);
    sine += sin_deg(angle * 360 / period);
    if (has(dip_deg)) dip += dip_deg;
    ++n;
  }
  [[nodiscard]] Sum without(const Sum& part) const noexcept {
    return {cosine - part.cosine, sine - part.sine, dip - part.dip, n - part.n};
  }
  [[nodiscard]] bool tight() const noexcept {
    return n >= 2 && std::hypot(cosine, sine) >= threshold::kStructureResultant * n;
  }
  [[nodiscard]] double mean(double period) const noexcept {
    return std::atan2(sine, cosine) * 180 / M_PI * period / 360;
  }
};

struct Difference {
  std::size_t line = 0;
  double difference = 0, mirrored = 0, weight = 0, period = 360;
};

struct Comparison {
  std::vector<Difference> differences;
  double weight = 0;
  int own = 0, others = 0;  // readings
};

using ByGroup = std::map<NameId, Comparison>;

// Every group of every factor against the rest, on the rows that are still looked at.
std::array<ByGroup, kFactors> compare(const Notebook& book, const std::vector<SharedLine>& lines,
                                      const std::vector<char>& out, double variance) {
  std::array<ByGroup, kFactors> result;
  std::map<NameId, Sum> parts, mirrored;
  for (std::size_t l = 0; l < lines.size(); ++l) {
    const SharedLine& line = lines[l];
    for (std::size_t f = 0; f < kFactors; ++f) {
      parts.clear();
      mirrored.clear();
      Sum all;
      for (const std::size_t i : line.entries) {
        if (out[i]) continue;
        const Entry& entry = book.entries[i];
        all.add(SharedLine::angle(entry), line.period_deg, entry.dip);
        parts[entry.group[f]].add(SharedLine::angle(entry), line.period_deg, entry.dip);
        mirrored[entry.group[f]].add(SharedLine::mirrored(entry), line.period_deg, entry.dip);
      }
      if (parts.size() < 2) continue;
      for (const auto& [group, part] : parts) {
        if (group == 0) continue;
        const Sum rest = all.without(part);
        // Without a name two planes are one structure only where both groups found it again and again, and as steep.
        if (line.by_place && (std::abs(part.dip / part.n - rest.dip / rest.n) > threshold::kStructureDipDeg ||
                              !part.tight() || !rest.tight()))
          continue;
        const double a = part.mean(line.period_deg), b = rest.mean(line.period_deg);
        const double weight = 1 / (threshold::kFloorDeg * threshold::kFloorDeg + variance / part.n + variance / rest.n);
        Comparison& comparison = result[f][group];
        comparison.differences.push_back({l, turn(a - b, line.period_deg),
                                          turn(mirrored[group].mean(line.period_deg) - b, line.period_deg), weight,
                                          line.period_deg});
        comparison.weight += weight;
        comparison.own += part.n;
        comparison.others += rest.n;
      }
    }
  }
  return result;
}

double weighted_median(std::vector<std::pair<double, double>> values) {
  std::sort(values.begin(), values.end());
  const double half =
      std::accumulate(values.begin(), values.end(), 0.0, [](double sum, const auto& v) { return sum + v.second; }) / 2;
  double sum = 0;
  for (const auto& [value, weight] : values)
    if ((sum += weight) >= half) return value;
  return values.empty() ? 0 : values.back().first;
}

// Standard deviation about a circular mean, degrees; the differences have periods of their own.
double circular_spread(const std::vector<Difference>& differences, double Difference::*angle, double& mean) {
  double cosine = 0, sine = 0;
  for (const Difference& d : differences) {
    // All on the shortest period there is, so that planes and directions can stand together.
    cosine += cos_deg(d.*angle * 2);
    sine += sin_deg(d.*angle * 2);
  }
  const auto n = static_cast<double>(differences.size());
  mean = std::atan2(sine, cosine) * 90 / M_PI;
  const double r = std::min(1.0, std::hypot(cosine, sine) / n);
  return r <= 1e-6 ? 90 : std::sqrt(-2 * std::log(r)) * 90 / M_PI;
}

void estimate(const Comparison& comparison, double variance, int dof, GroupOffset& out) {
  const auto& all = comparison.differences;
  out.lines = static_cast<int>(all.size());
  out.weight = comparison.weight;
  double mean = 0;
  const double spread = circular_spread(all, &Difference::difference, mean);
  // Four fifths of the lines are enough: on the others something else may have been read.
  std::vector<double> mirrored;
  mirrored.reserve(all.size());
  for (const Difference& d : all) mirrored.push_back(std::abs(d.mirrored));
  const auto most = mirrored.begin() + static_cast<std::ptrdiff_t>((mirrored.size() * 4 - 1) / 5);
  std::nth_element(mirrored.begin(), most, mirrored.end());
  out.mirrored = spread > threshold::kMirrorTurnDeg && *most < threshold::kMirrorDeg;
  std::vector<std::pair<double, double>> values;
  values.reserve(all.size());
  for (const Difference& d : all) values.emplace_back(d.difference, d.weight);
  const double median = weighted_median(values);
  for (auto& [value, weight] : values) value = std::abs(value - median);
  const double robust =
      std::max({kRadToSigma * weighted_median(values), threshold::kFloorDeg, std::sqrt(variance) / 2});
  double weight = 0, total = 0;
  for (const Difference& d : all)
    if (std::abs(d.difference - median) <= 4 * robust) weight += d.weight, total += d.weight * d.difference;
  out.offset_deg = total / weight;
  double squares = 0, weighted = 0;
  int kept = 0;
  for (const Difference& d : all) {
    if (std::abs(d.difference - median) > 4 * robust) continue;
    const double residual = d.difference - out.offset_deg;
    squares += residual * residual;
    weighted += d.weight * residual * residual;
    ++kept;
  }
  if (kept > 1) out.scatter_deg = std::sqrt(squares / (kept - 1));
  out.sigma_deg = std::max(1 / std::sqrt(weight), kept > 1 ? out.scatter_deg / std::sqrt(kept) : 0.0);
  if (kept > 2 && dof > 2) out.scatter_f = weighted / (kept - 1);
}

// 1-sigma of one reading, from those that one party took of one line.
void repeats(const Notebook& book, SharedResult& result) {
  using Party = std::tuple<NameId, NameId, NameId, NameId>;
  double squares = 0;
  int dof = 0;
  for (const SharedLine& line : result.lines) {
    if (line.by_place) continue;
    std::map<Party, std::vector<double>> parties;
    for (const std::size_t i : line.entries) {
      const Entry& e = book.entries[i];
      parties[{e.group[0], e.group[1], e.group[2], e.group[4]}].push_back(SharedLine::angle(e));
    }
    for (const auto& [party, angles] : parties) {
      if (angles.size() < 2) continue;
      Sum sum;
      for (const double angle : angles) sum.add(angle, line.period_deg, Entry::kNone);
      const double mean = sum.mean(line.period_deg);
      int kept = 0;
      double part = 0;
      for (const double angle : angles) {
        const double residual = turn(angle - mean, line.period_deg);
        if (std::abs(residual) > kGrossDeg) continue;
        part += residual * residual;
        ++kept;
      }
      if (kept < 2) continue;
      squares += part;
      dof += kept - 1;
    }
  }
  result.repeat_dof = dof;
  if (dof > 0) result.repeat_sigma_deg = std::sqrt(squares / dof);
}

// Directions that stand against the others of their line.
void find_wrong_ends(const Notebook& book, SharedResult& result, std::vector<char>& out) {
  for (const SharedLine& line : result.lines) {
    if (line.period_deg < 360 || line.entries.size() < 3) continue;
    std::vector<std::size_t> against;
    for (const std::size_t i : line.entries) {
      int opposite = 0, along = 0;
      for (const std::size_t other : line.entries) {
        if (other == i) continue;
        const double apart =
            std::abs(wrap_180(SharedLine::angle(book.entries[i]) - SharedLine::angle(book.entries[other])));
        opposite += apart > 180 - threshold::kWrongEndDeg ? 1 : 0;
        along += apart < threshold::kWrongEndDeg ? 1 : 0;
      }
      if (opposite > 1 && opposite > along) against.push_back(i);
    }
    for (const std::size_t i : against) {
      out[i] = 1;
      result.wrong_ends.push_back(i);
    }
  }
  std::sort(result.wrong_ends.begin(), result.wrong_ends.end());
}

void find_residuals(const Notebook& book, const std::vector<char>& out, SharedResult& result) {
  for (const SharedLine& line : result.lines) {
    Sum sum;
    for (const std::size_t i : line.entries)
      if (!out[i]) sum.add(SharedLine::angle(book.entries[i]), line.period_deg, Entry::kNone);
    if (sum.n == 0) continue;
    const double mean = sum.mean(line.period_deg);
    for (const std::size_t i : line.entries)
      result.residuals.push_back({i, turn(SharedLine::angle(book.entries[i]) - mean, line.period_deg)});
  }
}

}  // namespace

double SharedLine::angle(const Entry& entry) noexcept {
  return entry.kind == reading::Kind::plane ? entry.strike_true : entry.azimuth_true;
}

double SharedLine::mirrored(const Entry& entry) noexcept {
  // reading = true - correction; its mirror image, corrected the same way
  return 2 * entry.correction - angle(entry);
}

std::vector<SharedLine> shared_lines(const Notebook& book) {
  // Lines of one name far from each other are several lines.
  struct Cluster {
    double lat, lon;
    std::size_t line;
  };
  using Key = std::tuple<bool, NameId, long, long>;
  std::map<Key, std::vector<Cluster>> clusters;
  std::map<std::pair<bool, NameId>, int> times;
  std::vector<SharedLine> lines;
  for (const Entry& e : book.entries)
    if (e.known_by_id) ++times[{e.kind == reading::Kind::plane, e.known_as}];
  for (std::size_t i = 0; i < book.entries.size(); ++i) {
    const Entry& e = book.entries[i];
    if (!has(SharedLine::angle(e)) || !has(e.azimuth_true) || !has(e.lat)) continue;
    const bool plane = e.kind == reading::Kind::plane;
    const bool named = e.known_as != 0 && (!e.known_by_id || times[{plane, e.known_as}] > 1);
    if (!named && !plane) continue;
    Key key{plane, named ? e.known_as : 0, 0, 0};
    if (!named) {
      const double cell = threshold::kStructureKm / kKmPerDegree;
      std::get<2>(key) = std::lround(e.lat / cell);
      std::get<3>(key) = std::lround(e.lon * std::max(0.01, cos_deg(e.lat)) / cell);
    }
    auto& known = clusters[key];
    const auto near = std::find_if(known.begin(), known.end(), [&](const Cluster& c) {
      return !named || km_between(c.lat, c.lon, e.lat, e.lon) <= threshold::kSharedKm;
    });
    if (near != known.end()) {
      lines[near->line].entries.push_back(i);
    } else {
      known.push_back({e.lat, e.lon, lines.size()});
      lines.push_back({{i}, plane ? 180.0 : 360.0, !named});
    }
  }
  std::erase_if(lines, [](const SharedLine& line) { return line.entries.size() < 2; });
  return lines;
}

SharedResult look_at_shared_lines(const Notebook& book) {
  SharedResult result;
  result.lines = shared_lines(book);
  std::vector<char> out(book.entries.size(), 0);
  find_wrong_ends(book, result, out);
  repeats(book, result);
  const bool repeated = result.repeat_dof >= 3;
  const double variance = repeated ? result.repeat_sigma_deg * result.repeat_sigma_deg : 1;

  for (int round = 0; round <= kMostTold; ++round) {
    const auto comparisons = compare(book, result.lines, out, variance);
    GroupOffset best;
    double most = 0;
    std::vector<GroupOffset> scattering;
    for (std::size_t f = 0; f < kFactors; ++f)
      for (const auto& [group, comparison] : comparisons[f]) {
        if (comparison.differences.size() < static_cast<std::size_t>(threshold::kSharedLines)) continue;
        GroupOffset offset;
        offset.factor = static_cast<Factor>(f);
        offset.group = group;
        estimate(comparison, variance, repeated ? result.repeat_dof : 0, offset);
        const bool apart = std::abs(offset.offset_deg) > threshold::kApartDeg + offset.sigma_deg &&
                           std::abs(offset.offset_deg) > threshold::kSignificance * offset.sigma_deg;
        if (offset.scatter_f > 0 && !offset.mirrored && !apart &&
            instrument::f_tail(offset.scatter_f, offset.lines - 1, result.repeat_dof) < threshold::kScatterChance &&
            offset.scatter_deg * offset.scatter_deg - offset.lines / offset.weight >
                threshold::kScatterDeg * threshold::kScatterDeg)
          scattering.push_back(offset);
        if (!apart && !offset.mirrored) continue;
        double explains =
            offset.mirrored ? 90 * 90 * offset.weight : offset.offset_deg * offset.offset_deg * offset.weight;
        if (offset.factor < Factor::instrument_year) explains *= kSimpler;
        // Of two groups each stands as far from the other: the smaller is told.
        if (comparison.own < comparison.others) explains *= kSmaller;
        if (explains > most * 1.0001) most = explains, best = offset;
      }
    if (most == 0 || round == kMostTold) {
      result.scattering = std::move(scattering);
      break;
    }
    const auto f = static_cast<std::size_t>(best.factor);
    for (std::size_t i = 0; i < book.entries.size(); ++i)
      if (book.entries[i].group[f] == best.group && !out[i]) best.entries.push_back(i);
    for (const Difference& d : comparisons[f].at(best.group).differences)
      for (const std::size_t i : result.lines[d.line].entries)
        if (!out[i]) (book.entries[i].group[f] == best.group ? best.on_lines : best.others).push_back(i);
    for (const std::size_t i : best.entries) out[i] = 1;
    result.told.push_back(std::move(best));
  }
  // On a mirrored dial some readings happen to look like the wrong end.
  for (GroupOffset& group : result.told) {
    if (!group.mirrored) continue;
    const auto f = static_cast<std::size_t>(group.factor);
    std::erase_if(result.wrong_ends, [&](std::size_t i) {
      if (book.entries[i].group[f] != group.group) return false;
      group.entries.push_back(i);
      return true;
    });
    std::sort(group.entries.begin(), group.entries.end());
  }
  find_residuals(book, out, result);
  return result;
}

}  // namespace agonic::review
