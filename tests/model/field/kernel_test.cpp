// The evaluation itself: cuts of the columns, poles, antimeridian, edges. Gradients of the potential by an
// independent sum (Legendre functions of the standard library) stand in for an outside reference at the poles.

#include <gtest/gtest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <random>

#include "field_fixture.hpp"
#include "model/field/field.hpp"
#include "model/units/angle.hpp"

namespace agonic::field {
namespace {

constexpr double kOfF = 1e-9;  // largest difference, as a part of F

bool same_bits(const FieldVector& a, const FieldVector& b) {
  const auto same = [](double x, double y) {
    return std::bit_cast<std::uint64_t>(x) == std::bit_cast<std::uint64_t>(y);
  };
  return same(a.north_nt, b.north_nt) && same(a.east_nt, b.east_nt) && same(a.down_nt, b.down_nt) &&
         same(a.north_nt_per_year, b.north_nt_per_year) && same(a.east_nt_per_year, b.east_nt_per_year) &&
         same(a.down_nt_per_year, b.down_nt_per_year);
}

bool finite(const FieldVector& v) {
  const Elements e = elements(v);
  for (const double x : {v.north_nt, v.east_nt, v.down_nt, v.north_nt_per_year, v.east_nt_per_year, v.down_nt_per_year,
                         e.horizontal_nt, e.total_nt, e.declination_deg, e.inclination_deg, e.horizontal_nt_per_year,
                         e.total_nt_per_year, e.declination_deg_per_year, e.inclination_deg_per_year}) {
    if (!std::isfinite(x)) return false;
  }
  return true;
}

double distance(const FieldVector& a, const FieldVector& b) {
  return std::hypot(a.north_nt - b.north_nt, a.east_nt - b.east_nt, a.down_nt - b.down_nt);
}

struct Columns {
  std::vector<double> lat, lon, height, date;
  [[nodiscard]] Points part(std::size_t from, std::size_t count) const {
    const auto cut = [&](const std::vector<double>& c) { return std::span<const double>(c).subspan(from, count); };
    return {cut(lat), cut(lon), cut(height), cut(date)};
  }
};

Columns random_points(const CoefficientSet& model, std::size_t count, unsigned seed) {
  std::mt19937_64 random(seed);
  const auto between = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
  Columns c;
  for (std::size_t i = 0; i < count; ++i) {
    c.lat.push_back(between(-90, 90));
    c.lon.push_back(between(-180, 360));
    c.height.push_back(between(-10000, 850000));
    // Some dates come again, as in a notebook.
    c.date.push_back(i % 3 == 0 && i > 0 ? c.date[i / 2] : between(model.valid_from, model.valid_to));
  }
  return c;
}

TEST(Evaluate, AnyCutOfTheColumnsGivesTheSameBits) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    const std::size_t count = id == "wmmhr2025" ? 301 : 1009;
    const Columns columns = random_points(model, count, 7);
    std::vector<FieldVector> whole(count);
    evaluate(model, columns.part(0, count), whole);
    std::mt19937 random(11);
    std::vector<FieldVector> cut(count);
    for (std::size_t at = 0; at < count;) {
      const std::size_t size = std::min<std::size_t>(count - at, 1 + random() % 37);
      evaluate(model, columns.part(at, size), std::span(cut).subspan(at, size));
      at += size;
    }
    for (std::size_t i = 0; i < count; ++i) {
      ASSERT_TRUE(same_bits(whole[i], cut[i])) << id << " " << i;
      ASSERT_TRUE(
          same_bits(whole[i], evaluate(model, columns.lat[i], columns.lon[i], columns.height[i], columns.date[i])))
          << id << " " << i;
    }
  }
}

TEST(Evaluate, OrderOfThePointsDoesNotMatter) {
  const CoefficientSet& model = built_in("gufm1");
  Columns forward = random_points(model, 200, 3);
  std::vector<FieldVector> one(200);
  std::vector<FieldVector> other(200);
  evaluate(model, forward.part(0, 200), one);
  for (auto* column : {&forward.lat, &forward.lon, &forward.height, &forward.date}) {
    std::reverse(column->begin(), column->end());
  }
  evaluate(model, forward.part(0, 200), other);
  for (std::size_t i = 0; i < 200; ++i) EXPECT_TRUE(same_bits(one[i], other[199 - i]));
}

TEST(Evaluate, NoPointsAreNoWork) { evaluate(built_in("wmm2025"), Points{}, {}); }

TEST(Meridians, ZeroAnd360AndBothSidesOfTheAntimeridianAgreeBitForBit) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    for (const double lat : {-90.0, -33.0, 0.0, 51.5, 90.0}) {
      const double date = model.valid_from;
      EXPECT_TRUE(same_bits(evaluate(model, lat, 0, 0, date), evaluate(model, lat, 360, 0, date))) << id << lat;
      EXPECT_TRUE(same_bits(evaluate(model, lat, 180, 0, date), evaluate(model, lat, -180, 0, date))) << id << lat;
      EXPECT_TRUE(same_bits(evaluate(model, lat, 270, 0, date), evaluate(model, lat, -90, 0, date))) << id << lat;
    }
  }
}

// At a pole the field is one vector, whatever the longitude: turning it back to longitude 0 must give the same.
TEST(Poles, HaveOneFieldVectorForAllLongitudes) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    for (const double lat : {90.0, -90.0}) {
      const FieldVector at_zero = evaluate(model, lat, 0, 0, model.valid_to);
      const double f = elements(at_zero).total_nt;
      for (const double lon : {-180.0, -97.3, 12.0, 90.0, 211.0, 359.0}) {
        const FieldVector v = evaluate(model, lat, lon, 0, model.valid_to);
        const double turn = lat > 0 ? lon : -lon;  // from the axes of longitude 0 to those of lon
        const FieldVector back{v.north_nt * cos_deg(turn) + v.east_nt * sin_deg(turn),
                               v.east_nt * cos_deg(turn) - v.north_nt * sin_deg(turn),
                               v.down_nt,
                               0,
                               0,
                               0};
        EXPECT_LT(distance(at_zero, back), kOfF * f) << id << " " << lat << " " << lon;
      }
    }
  }
}

TEST(Poles, AreTheLimitOfTheirNeighbourhood) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    for (const double sign : {1.0, -1.0}) {
      const FieldVector pole = evaluate(model, sign * 90, 40, 0, model.valid_from);
      const FieldVector close = evaluate(model, sign * (90 - 1e-9), 40, 0, model.valid_from);
      EXPECT_LT(distance(pole, close), 1e-5) << id;
      EXPECT_LT(distance(pole, evaluate(model, std::nextafter(sign * 90, 0), 40, 0, model.valid_from)), 1e-6) << id;
    }
  }
}

TEST(Edges, GiveFiniteNumbers) {
  const double tiny = std::numeric_limits<double>::denorm_min();
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    for (const double lat : {-90.0, -0.0, 0.0, tiny, -tiny, 1e-300, 90.0})
      for (const double lon : {-180.0, -0.0, 0.0, tiny, -tiny, 180.0, 360.0})
        for (const double height : {-10000.0, -0.0, tiny, 850000.0})
          for (const double date : {model.valid_from, model.valid_to})
            ASSERT_TRUE(finite(evaluate(model, lat, lon, height, date))) << id << lat << " " << lon << " " << height;
    EXPECT_TRUE(
        same_bits(evaluate(model, 0, 0, 0, model.valid_from), evaluate(model, tiny, tiny, tiny, model.valid_from)))
        << id;
  }
}

TEST(Edges, TheHighestDegreeReadStaysFinite) {
  CoefficientSet model;
  model.degree = kMaxDegree;
  model.epoch = 2025;
  model.sets.assign(2, std::vector<double>(model.values_per_set(), 1.0));
  prepare(model);
  for (const double lat : {-90.0, -89.9, -45.0, 0.0, 1e-9, 60.0, 90.0})
    for (const double height : {-10000.0, 850000.0}) EXPECT_TRUE(finite(evaluate(model, lat, 77, height, 2026))) << lat;
}

TEST(Heights, WeakenTheFieldSteadily) {
  for (const std::string& id : all_ids()) {
    double before = std::numeric_limits<double>::infinity();
    for (const double height : {-10000.0, 0.0, 1000.0, 100000.0, 850000.0}) {
      const double f = elements(evaluate(built_in(id), 70, 30, height, built_in(id).valid_from)).total_nt;
      EXPECT_LT(f, before) << id << height;
      before = f;
    }
  }
}

// Independent of the recursion: Legendre functions of the C++ standard library, derivatives by differences.
TEST(Potential, ItsGradientIsTheField) {
  const CoefficientSet& model = built_in("wmm2025");
  const auto potential = [&](double r_km, double lat, double lon) {
    double v = 0;
    for (int n = 1; n <= model.degree; ++n) {
      for (int m = 0; m <= n; ++m) {
        double schmidt = 1;
        if (m > 0) schmidt = std::sqrt(2 * std::exp(std::lgamma(n - m + 1.0) - std::lgamma(n + m + 1.0)));
        const double p =
            schmidt * std::assoc_legendre(static_cast<unsigned>(n), static_cast<unsigned>(m), std::sin(lat));
        const double g = model.sets[0][value_index(n, m)];
        const double h = m == 0 ? 0 : model.sets[0][value_index(n, m) + 1];
        v += model.radius_km * std::pow(model.radius_km / r_km, n + 1) *
             (g * std::cos(m * lon) + h * std::sin(m * lon)) * p;
      }
    }
    return v;
  };
  // On the equator geodetic and geocentric axes agree and r is the equatorial radius (WGS84) plus the height.
  const double r = 6378.137 + 100;
  const double lon = 33 * kDegree;
  const double step = 1e-5;
  const double north = -(potential(r, step, lon) - potential(r, -step, lon)) / (2 * step * r);
  const double east = -(potential(r, 0, lon + step) - potential(r, 0, lon - step)) / (2 * step * r);
  const double down = (potential(r + 0.05, 0, lon) - potential(r - 0.05, 0, lon)) / 0.1;
  const FieldVector v = evaluate(model, 0, 33, 100000, 2025.0);
  EXPECT_NEAR(v.north_nt, north, 1e-4);
  EXPECT_NEAR(v.east_nt, east, 1e-4);
  EXPECT_NEAR(v.down_nt, down, 1e-4);
}

TEST(Elements, AtZeroHorizontalFieldAreDefinedAndFinite) {
  const FieldVector upright{0, 0, -50000, 3, 4, 5};
  const Elements e = elements(upright);
  EXPECT_EQ(e.declination_deg, 0);
  EXPECT_EQ(e.inclination_deg, -90);
  EXPECT_EQ(e.horizontal_nt_per_year, 5);
  EXPECT_TRUE(finite(upright));
  EXPECT_TRUE(finite({}));
  EXPECT_TRUE(finite({5e-324, -5e-324, 50000, 10, 10, 10}));
}

TEST(Elements, DeclinationLiesAboveMinus180) {
  EXPECT_EQ(elements({-1000, -0.0, 0, 0, 0, 0}).declination_deg, 180);
  EXPECT_EQ(elements({-1000, 0.0, 0, 0, 0, 0}).declination_deg, 180);
  EXPECT_EQ(elements({0, 1000, 0, 0, 0, 0}).declination_deg, 90);
  EXPECT_EQ(elements({0, -1000, 0, 0, 0, 0}).declination_deg, -90);
}

}  // namespace
}  // namespace agonic::field
