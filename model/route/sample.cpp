#include "model/route/sample.hpp"

#include <GeographicLib/Geodesic.hpp>
#include <GeographicLib/GeodesicLine.hpp>
#include <algorithm>
#include <cmath>

#include "model/units/angle.hpp"

namespace agonic::route {
namespace {

constexpr double kEarthKm = 40000;  // round the earth, for wavelengths
constexpr double kWaveParts = 8;
constexpr double kLongestYears = 1;
constexpr double kExact = 1e-10;  // degrees, a tenth of what a plan takes for rounding
constexpr int kMostSteps = 60;
constexpr double kSmallestPart = 1.0 / (1 << 20);  // of a leg

const GeographicLib::Geodesic& wgs84() { return GeographicLib::Geodesic::WGS84(); }

// One leg, to find places on it.
class Leg {
 public:
  Leg(const field::Spot& from, const field::Spot& to, double km)
      : from_(from), to_(to), km_(km), line_(wgs84().InverseLine(from.lat_deg, from.lon_deg, to.lat_deg, to.lon_deg)) {}
  [[nodiscard]] field::Spot at(double part) const {
    field::Spot spot;
    line_.Position(part * line_.Distance(), spot.lat_deg, spot.lon_deg);
    spot.height_m = from_.height_m + part * (to_.height_m - from_.height_m);
    spot.decimal_year = from_.decimal_year + part * (to_.decimal_year - from_.decimal_year);
    return spot;
  }
  [[nodiscard]] double km() const { return km_; }
  [[nodiscard]] double years() const { return std::abs(to_.decimal_year - from_.decimal_year); }

 private:
  field::Spot from_, to_;
  double km_;
  GeographicLib::GeodesicLine line_;
};

// A sample with where it stands: which leg, and how far along it. A stop begins its leg.
struct Placed {
  Sample sample;
  std::size_t leg = 0;
  double part = 0;
  bool settled = false;  // nothing more to look at between it and the next one
};

class Refiner {
 public:
  Refiner(const field::Catalogue& catalogue, std::string_view model, std::vector<Leg> legs, double step_deg)
      : catalogue_(catalogue), model_(model), legs_(std::move(legs)), step_deg_(step_deg) {}

  Result<std::vector<Placed>> placed(std::vector<std::pair<std::size_t, double>> where) const {
    std::vector<field::Spot> spots(where.size());
    for (std::size_t i = 0; i < where.size(); ++i) spots[i] = legs_[where[i].first].at(where[i].second);
    const auto fields = field::field_answers(catalogue_, model_, spots);
    std::vector<Placed> out(where.size());
    for (std::size_t i = 0; i < where.size(); ++i) {
      if (!fields[i]) return fields[i].problem();
      out[i] = {{spots[i], 0, *fields[i], std::nullopt}, where[i].first, where[i].second, false};
    }
    return out;
  }

  [[nodiscard]] double end_part(const std::vector<Placed>& all, std::size_t i) const {
    return all[i + 1].leg == all[i].leg ? all[i + 1].part : 1;
  }

  // Is the piece from a to b, with m half-way, as fine as it needs to be?
  [[nodiscard]] bool fine(const Placed& a, const Placed& m, const Placed& b, double part) const {
    const auto needle = [](const Placed& p) { return p.sample.field.needle; };
    const bool same = needle(a) == needle(b) && needle(a) == needle(m);
    if (same && needle(a) == field::Needle::unusable) return true;
    if (part < kSmallestPart) return true;
    if (!same && part * legs_[a.leg].km() > kZoneKm) return false;
    const auto d = [](const Placed& p) { return p.sample.field.elements.declination_deg; };
    const double turn = wrap_180(d(b) - d(a));
    return std::abs(turn) <= step_deg_ && std::abs(wrap_180(d(m) - d(a) - turn / 2)) <= kBendDeg;
  }

  // The part of the leg where the declination, read as `turn` from that at a, is `aim`; between a and the part `end`,
  // by false position (Illinois), on the field itself.
  [[nodiscard]] double part_where(const Placed& a, double end, double turn, double aim) const {
    const double start = a.sample.field.elements.declination_deg;
    double low = a.part, high = end, at_low = -aim, at_high = turn - aim, found = low;
    for (int i = 0, side = 0; i < kMostSteps && high - low > 0; ++i) {
      found = (at_high * low - at_low * high) / (at_high - at_low);
      const field::Spot spot = legs_[a.leg].at(found);
      const auto field = field::field_answers(catalogue_, model_, {&spot, 1}).front();
      if (!field) return found;
      const double off = wrap_180(field->elements.declination_deg - start) - aim;
      if (std::abs(off) < kExact) return found;
      if ((off < 0) == (at_low < 0)) {
        low = found, at_low = off;
        if (side == -1) at_high /= 2;
        side = -1;
      } else {
        high = found, at_high = off;
        if (side == 1) at_low /= 2;
        side = 1;
      }
    }
    return found;
  }

  [[nodiscard]] const std::vector<Leg>& legs() const { return legs_; }

 private:
  const field::Catalogue& catalogue_;
  std::string_view model_;
  std::vector<Leg> legs_;
  double step_deg_;
};

Problem too_long() {
  return {Code::too_large,
          "legs",
          {},
          "the route would need more than " + std::to_string(kMostSamples) + " places to be looked at",
          "Give it in parts, or leave legs out"};
}

// How many pieces a leg is cut into before it is looked at.
double pieces_of(const Leg& leg, std::size_t degree) {
  const double step_km =
      std::min(kLongestStepKm, kEarthKm / (kWaveParts * static_cast<double>(std::max<std::size_t>(degree, 1))));
  return std::max({1.0, std::ceil(leg.km() / step_km), std::ceil(leg.years() / kLongestYears)});
}

// Halves what is not fine enough, all of it at once, until all is.
std::optional<Problem> refine(const Refiner& refiner, std::vector<Placed>& all) {
  for (;;) {
    std::vector<std::size_t> open;
    std::vector<std::pair<std::size_t, double>> where;
    for (std::size_t i = 0; i + 1 < all.size(); ++i) {
      if (all[i].settled) continue;
      open.push_back(i);
      where.emplace_back(all[i].leg, (all[i].part + refiner.end_part(all, i)) / 2);
    }
    if (open.empty()) return std::nullopt;
    if (all.size() + open.size() > kMostSamples) return too_long();
    auto middles = refiner.placed(std::move(where));
    if (!middles) return middles.problem();
    std::vector<Placed> next;
    next.reserve(all.size() + open.size());
    std::size_t k = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
      const bool halved = k < open.size() && open[k] == i;
      next.push_back(all[i]);
      if (!halved) continue;
      Placed& middle = middles.value()[k++];
      const double part = (i + 1 < all.size() && all[i + 1].leg == middle.leg ? all[i + 1].part : 1) - next.back().part;
      next.back().settled = middle.settled = refiner.fine(next.back(), middle, all[i + 1], part);
      next.push_back(middle);
    }
    all = std::move(next);
  }
}

// Where the declination passes from what one setting holds to what it does not: multiples of the graduation plus and
// minus the tolerance. In order along the way, as turns from the declination at the piece's start.
std::vector<double> limits_within(double from_deg, double turn, double graduation, double tolerance) {
  std::vector<double> out;
  for (const double side : {tolerance, -tolerance}) {
    const double low = std::min(from_deg, from_deg + turn), high = std::max(from_deg, from_deg + turn);
    for (double n = std::ceil((low - side) / graduation); n * graduation + side < high; ++n) {
      const double by = n * graduation + side - from_deg;
      if (std::abs(by) > kExact && std::abs(by - turn) > kExact) out.push_back(by);
    }
  }
  std::sort(out.begin(), out.end(), [](double a, double b) { return std::abs(a) < std::abs(b); });
  out.erase(std::unique(out.begin(), out.end(), [](double a, double b) { return std::abs(a - b) < kExact; }),
            out.end());
  return out;
}

std::optional<Problem> add_limits(const Refiner& refiner, std::vector<Placed>& all, double graduation,
                                  double tolerance) {
  std::vector<std::pair<std::size_t, double>> where;
  std::vector<std::size_t> before;  // which sample each of them comes after
  for (std::size_t i = 0; i + 1 < all.size(); ++i) {
    const double from = all[i].sample.field.elements.declination_deg;
    const double turn = wrap_180(all[i + 1].sample.field.elements.declination_deg - from);
    if (std::abs(turn) > 2 * tolerance) continue;  // a jump: no setting holds it anyhow
    for (const double aim : limits_within(from, turn, graduation, tolerance)) {
      where.emplace_back(all[i].leg, refiner.part_where(all[i], refiner.end_part(all, i), turn, aim));
      before.push_back(i);
    }
    if (all.size() + where.size() > kMostSamples) return too_long();
  }
  auto limits = refiner.placed(std::move(where));
  if (!limits) return limits.problem();
  std::vector<Placed> next;
  next.reserve(all.size() + limits->size());
  std::size_t k = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    next.push_back(all[i]);
    for (; k < before.size() && before[k] == i; ++k) next.push_back(limits.value()[k]);
  }
  all = std::move(next);
  return std::nullopt;
}

}  // namespace

std::vector<double> distances_km(std::span<const field::Spot> stops) {
  std::vector<double> out;
  out.reserve(stops.size());
  double km = 0;
  for (std::size_t i = 0; i < stops.size(); ++i) {
    double metres = 0;
    if (i > 0) {
      wgs84().Inverse(stops[i - 1].lat_deg, stops[i - 1].lon_deg, stops[i].lat_deg, stops[i].lon_deg, metres);
      km += metres / 1000;
    }
    out.push_back(km);
  }
  return out;
}

Result<std::vector<Sample>> samples(const field::Catalogue& catalogue, std::string_view model,
                                    std::span<const field::Spot> stops, std::span<const field::FieldAnswer> fields,
                                    bool legs, double largest_step_deg, double graduation_deg, double tolerance_deg) {
  const std::vector<double> km = distances_km(stops);
  std::vector<Sample> out;
  if (!legs || stops.size() < 2) {
    for (std::size_t i = 0; i < stops.size(); ++i) out.push_back({stops[i], km[i], fields[i], i});
    return out;
  }
  std::vector<Leg> ways;
  std::vector<std::pair<std::size_t, double>> where;
  double many = static_cast<double>(stops.size());
  for (std::size_t i = 0; i + 1 < stops.size(); ++i) {
    ways.emplace_back(stops[i], stops[i + 1], km[i + 1] - km[i]);
    const double pieces = pieces_of(
        ways.back(), static_cast<std::size_t>(std::max(fields[i].model->degree, fields[i + 1].model->degree)));
    many += pieces;
    if (many > static_cast<double>(kMostSamples)) return too_long();
    for (int k = 1; k < static_cast<int>(pieces); ++k) where.emplace_back(i, k / pieces);
  }
  const Refiner refiner(catalogue, model, std::move(ways), largest_step_deg);
  auto between = refiner.placed(std::move(where));
  if (!between) return between.problem();
  std::vector<Placed> all;
  std::size_t k = 0;
  for (std::size_t i = 0; i < stops.size(); ++i) {
    all.push_back({{stops[i], km[i], fields[i], i}, i, 0, false});
    for (; k < between->size() && between.value()[k].leg == i; ++k) all.push_back(between.value()[k]);
  }
  if (auto problem = refine(refiner, all)) return *problem;
  if (auto problem = add_limits(refiner, all, graduation_deg, tolerance_deg)) return *problem;
  out.reserve(all.size());
  for (Placed& one : all) {
    if (!one.sample.stop) one.sample.km = km[one.leg] + one.part * refiner.legs()[one.leg].km();
    out.push_back(one.sample);
  }
  return out;
}

}  // namespace agonic::route
