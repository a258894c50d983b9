// Places that do not lie where the others lie, and what would bring them there.
#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <numeric>

#include "model/field/declination.hpp"
#include "model/review/look.hpp"
#include "model/review/measure.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

struct Spot {
  double lat = 0, lon = 0;
  std::vector<std::size_t> entries;
};

constexpr std::size_t kMostSpots = 3000;  // compared one with another

// The places, near ones together where there are too many.
std::vector<Spot> spots_of(const Notebook& book) {
  for (double cell : {1e-6, 0.02, 0.1, 0.3, 1.0, 3.0}) {
    std::map<std::pair<long, long>, Spot> cells;
    for (std::size_t i = 0; i < book.entries.size(); ++i) {
      const Entry& e = book.entries[i];
      if (!has(e.lat)) continue;
      Spot& spot = cells[{std::lround(e.lat / cell), std::lround(e.lon / cell)}];
      if (spot.entries.empty()) spot.lat = e.lat, spot.lon = e.lon;
      spot.entries.push_back(i);
      if (cells.size() > kMostSpots && cell < 3) break;
    }
    if (cells.size() > kMostSpots && cell < 3) continue;
    std::vector<Spot> out;
    out.reserve(cells.size());
    for (auto& [key, spot] : cells) out.push_back(std::move(spot));
    return out;
  }
  return {};
}

// Spots joined by steps of no more than kOutlyingKm.
std::vector<std::vector<std::size_t>> clusters_of(const std::vector<Spot>& spots) {
  std::vector<std::size_t> to(spots.size());
  std::iota(to.begin(), to.end(), std::size_t{0});
  const std::function<std::size_t(std::size_t)> root = [&](std::size_t i) {
    while (to[i] != i) i = to[i] = to[to[i]];
    return i;
  };
  for (std::size_t a = 0; a < spots.size(); ++a)
    for (std::size_t b = a + 1; b < spots.size(); ++b) {
      if (std::abs(spots[a].lat - spots[b].lat) * kKmPerDegree > threshold::kOutlyingKm) continue;
      if (root(a) != root(b) &&
          km_between(spots[a].lat, spots[a].lon, spots[b].lat, spots[b].lon) <= threshold::kOutlyingKm)
        to[root(a)] = root(b);
    }
  std::map<std::size_t, std::vector<std::size_t>> by_root;
  for (std::size_t i = 0; i < spots.size(); ++i) by_root[root(i)].push_back(i);
  std::vector<std::vector<std::size_t>> out;
  out.reserve(by_root.size());
  for (auto& [number, members] : by_root) out.push_back(std::move(members));
  return out;
}

struct Point {
  double lat, lon;
};
using Turned = std::function<std::optional<Point>(Point)>;

double nearest_km(Point p, const std::vector<Spot>& spots, const std::vector<std::size_t>& home) {
  double nearest = 1e9;
  for (const std::size_t i : home) nearest = std::min(nearest, km_between(p.lat, p.lon, spots[i].lat, spots[i].lon));
  return nearest;
}

// Do all places of the cluster lie at home once turned?
bool explains(const Turned& turned, const std::vector<Spot>& spots, const std::vector<std::size_t>& cluster,
              const std::vector<std::size_t>& home) {
  return std::all_of(cluster.begin(), cluster.end(), [&](std::size_t i) {
    const auto point = turned({spots[i].lat, spots[i].lon});
    return point && nearest_km(*point, spots, home) <= threshold::kExplainedKm;
  });
}

struct Explanation {
  Check check;
  std::string how;
  Turned turned;
};

std::vector<Explanation> explanations(bool grid) {
  std::vector<Explanation> all;
  if (!grid)
    all.push_back({Check::places_swapped, "latitude and longitude exchanged", [](Point p) -> std::optional<Point> {
                     if (std::abs(p.lon) > 90) return std::nullopt;
                     return Point{p.lon, p.lat};
                   }});
  if (!grid) {
    all.push_back({Check::places_mirrored, "north for south", [](Point p) {
                     return std::optional(Point{-p.lat, p.lon});
                   }});
    all.push_back({Check::places_mirrored, "east for west", [](Point p) {
                     return std::optional(Point{p.lat, -p.lon});
                   }});
    all.push_back({Check::places_mirrored, "north for south and east for west", [](Point p) {
                     return std::optional(Point{-p.lat, -p.lon});
                   }});
    return all;
  }
  for (const int step : {1, -1, 2, -2, 3, -3})
    all.push_back({Check::places_zone,
                   "a zone number " + std::to_string(std::abs(step)) + (step > 0 ? " higher" : " lower"),
                   // Zones are alike: the same easting and northing lie 6 degrees farther, on the same latitude.
                   [step](Point p) {
                     return std::optional(Point{p.lat, wrap_180(p.lon + 6 * step)});
                   }});
  return all;
}

std::string place_words(double lat, double lon) {
  return format_fixed(std::abs(lat), 2) + (lat < 0 ? " S " : " N ") + format_fixed(std::abs(lon), 2) +
         (lon < 0 ? " W" : " E");
}

// By how much the declination there differs from that at home, about.
double moved_by(const Look& look, const std::vector<std::size_t>& rows, const std::vector<std::size_t>& home_rows) {
  const double there = mean_of(look.book, rows, &Entry::declination),
               here = mean_of(look.book, home_rows, &Entry::declination);
  return has(there) && has(here) ? std::abs(wrap_180(there - here)) : 0;
}

}  // namespace

void look_at_places(const Look& look) {
  const Notebook& book = look.book;
  std::vector<std::size_t> zero;
  for (std::size_t i = 0; i < book.entries.size(); ++i)
    if (has(book.entries[i].lat) && book.entries[i].lat == 0 && book.entries[i].lon == 0) zero.push_back(i);

  auto spots = spots_of(book);
  std::erase_if(spots, [](const Spot& s) { return s.lat == 0 && s.lon == 0; });
  const auto clusters = clusters_of(spots);
  const auto rows_in = [&](const std::vector<std::size_t>& cluster) {
    std::vector<std::size_t> rows;
    for (const std::size_t s : cluster) rows.insert(rows.end(), spots[s].entries.begin(), spots[s].entries.end());
    std::sort(rows.begin(), rows.end());
    return rows;
  };
  std::size_t home = 0, most = 0, all = 0;
  for (std::size_t c = 0; c < clusters.size(); ++c) {
    const std::size_t n = rows_in(clusters[c]).size();
    all += n;
    if (n > most) most = n, home = c;
  }
  const auto home_rows = clusters.empty() ? std::vector<std::size_t>() : rows_in(clusters[home]);

  if (!zero.empty()) {
    Finding& finding = look.add(Check::places_zero);
    finding.entries = zero;
    finding.degrees = moved_by(look, zero, home_rows);
    finding.what =
        rows_text(zero.size()) + " lie" + (zero.size() == 1 ? "s" : "") + " at 0 N 0 E, in the Gulf of Guinea.";
    finding.question = "Was the place left blank there?";
    finding.answers = {{"Yes", "Look the place up; until then these rows have the declination of another country"}};
    for (const std::size_t i : zero) look.misplaced[i] = 1;
  }

  struct Told {
    Check check;
    std::string how;
    std::vector<std::size_t> rows;
    double km = 0, lat = 0, lon = 0;
  };
  std::map<std::pair<int, std::string>, Told> told;
  for (std::size_t c = 0; c < clusters.size(); ++c) {
    if (c == home) continue;
    const auto rows = rows_in(clusters[c]);
    const auto notation = book.entries[rows.front()].notation;
    const bool grid = notation == geodesy::Place::Notation::utm || notation == geodesy::Place::Notation::mgrs;
    const Spot& first = spots[clusters[c].front()];
    const double km = nearest_km({first.lat, first.lon}, spots, clusters[home]);
    Told found{Check::places_outlying, "", rows, km, first.lat, first.lon};
    bool explained = false;
    for (const Explanation& e : explanations(grid))
      if (explains(e.turned, spots, clusters[c], clusters[home])) {
        found.check = e.check;
        found.how = e.how;
        explained = true;
        break;
      }
    if (!explained && static_cast<double>(rows.size()) > threshold::kOutlyingShare * static_cast<double>(all)) continue;
    const std::string key = explained ? found.how : std::to_string(c);
    auto [at, fresh] = told.try_emplace({static_cast<int>(found.check), key}, found);
    if (!fresh) at->second.rows.insert(at->second.rows.end(), rows.begin(), rows.end());
  }
  for (auto& [key, found] : told) {
    std::sort(found.rows.begin(), found.rows.end());
    Finding& finding = look.add(found.check);
    finding.entries = found.rows;
    finding.degrees = moved_by(look, found.rows, home_rows);
    const std::string n = rows_text(found.rows.size());
    finding.what = n + " lie" + (found.rows.size() == 1 ? "s" : "") + " " + format_fixed(found.km, 0) +
                   " km from the nearest of the others, at about " + place_words(found.lat, found.lon) + ".";
    if (found.how.empty()) {
      finding.question = "Does this place belong to the survey?";
      finding.answers = {
          {"Yes", "Nothing to do: these rows have the declination of their own place"},
          {"No", "Correct the place: the declination there differs by " + degrees_words(finding.degrees)}};
    } else {
      finding.what += " With " + found.how + (found.check == Check::places_zone ? " they" : " put right they") +
                      " would lie among them.";
      finding.question =
          found.check == Check::places_zone ? "Is the zone number right?" : "Is that what happened: " + found.how + "?";
      finding.answers = {
          {found.check == Check::places_zone ? "No, the zone was mistyped" : "Yes",
           "Write the place anew: the declination used for " + n + " changes by " + degrees_words(finding.degrees)},
          {found.check == Check::places_zone ? "It is right" : "No",
           "Nothing to do: these rows are of another region"}};
    }
    for (const std::size_t i : found.rows) look.misplaced[i] = 1;
  }
}

}  // namespace agonic::review
