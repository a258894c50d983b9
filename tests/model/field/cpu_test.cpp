// Every kind of processor code that this machine can run: against 80-bit numbers, against each other, and the
// promise that a point's answer does not depend on its neighbours.

#include "model/field/cpu.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <random>

#include "field_fixture.hpp"
#include "model/field/field.hpp"
#include "model/units/number.hpp"
#include "reference_field.hpp"

namespace agonic::field {
namespace {

constexpr double kAnglesFromNt = 100;  // of H: below it, a direction is not held to kAcrossCpus

// Runs the body with each kind forced, and gives the choice back afterwards.
template <class Body>
void on_every_cpu(Body body) {
  for (const std::string_view cpu : cpu_names()) {
    ASSERT_EQ(*force_cpu(cpu), cpu);
    SCOPED_TRACE(std::string(cpu));
    body();
  }
  (void)force_cpu("");
}

struct Table {
  std::vector<double> lat, lon, height, date;
  void add(double a, double b, double c, double d) {
    lat.push_back(a);
    lon.push_back(b);
    height.push_back(c);
    date.push_back(d);
  }
  [[nodiscard]] std::size_t size() const { return lat.size(); }
  [[nodiscard]] Points part(std::size_t from, std::size_t count) const {
    const auto cut = [&](const std::vector<double>& c) { return std::span<const double>(c).subspan(from, count); };
    return {cut(lat), cut(lon), cut(height), cut(date)};
  }
  [[nodiscard]] Points all() const { return part(0, size()); }
};

// The edges (poles, equator, antimeridian, denormals, ends of the span) and random points.
Table points_of(const CoefficientSet& model, std::size_t random_points) {
  const double tiny = std::numeric_limits<double>::denorm_min();
  Table t;
  for (const double lat : {-90.0, 90.0, -89.9999999, 89.9999999, 0.0, -0.0, tiny, -tiny, 45.0, -45.0}) {
    for (const double lon : {-180.0, 180.0, 179.9999999, 360.0, 0.0, -0.0, tiny, -tiny, 90.0, 270.0, 135.0}) {
      t.add(lat, lon, t.size() % 2 == 0 ? 0 : tiny, t.size() % 3 == 0 ? model.valid_to : model.valid_from);
    }
  }
  std::mt19937_64 random(2026);
  const auto between = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
  for (std::size_t i = 0; i < random_points; ++i) {
    t.add(between(-90, 90), between(-180, 360), between(-10000, 850000), between(model.valid_from, model.valid_to));
  }
  return t;
}

struct Answers {
  std::vector<FieldVector> vectors;
  std::vector<Elements> elements;
};
Answers answers_of(const CoefficientSet& model, const Table& table) {
  Answers a{std::vector<FieldVector>(table.size()), std::vector<Elements>(table.size())};
  evaluate(model, table.all(), a.vectors, a.elements);
  return a;
}

double apart(double a, long double b) { return static_cast<double>(std::abs(a - b)); }
// Of two directions; 180 and -180 are one.
double turned_apart(double a, long double b) {
  return static_cast<double>(std::abs(std::remainder(static_cast<long double>(a) - b, 360.0L)));
}

std::size_t size_for(const CoefficientSet& model) { return model.degree > 100 ? 60 : 1500; }

TEST(Cpu, EveryKindAgreesWithNumbersOf80Bits) {
  static_assert(std::numeric_limits<long double>::digits >= 53);
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    const Table table = points_of(model, size_for(model));
    std::vector<ReferenceField> reference;
    for (std::size_t i = 0; i < table.size(); ++i) {
      reference.push_back(reference_field(model, table.lat[i], table.lon[i], table.height[i], table.date[i]));
    }
    on_every_cpu([&] {
      const Answers a = answers_of(model, table);
      double nt = 0;
      double nt_per_year = 0;
      double degrees = 0;
      double degrees_per_year = 0;
      for (std::size_t i = 0; i < table.size(); ++i) {
        const ReferenceField& r = reference[i];
        const FieldVector& v = a.vectors[i];
        const Elements& e = a.elements[i];
        nt = std::max({nt, apart(v.north_nt, r.north), apart(v.east_nt, r.east), apart(v.down_nt, r.down),
                       apart(e.horizontal_nt, r.h), apart(e.total_nt, r.f)});
        nt_per_year = std::max({nt_per_year, apart(v.north_nt_per_year, r.north_change),
                                apart(v.east_nt_per_year, r.east_change), apart(v.down_nt_per_year, r.down_change)});
        if (r.h < kAnglesFromNt) continue;
        nt_per_year = std::max(
            {nt_per_year, apart(e.horizontal_nt_per_year, r.h_change), apart(e.total_nt_per_year, r.f_change)});
        degrees = std::max({degrees, turned_apart(e.declination_deg, r.d), apart(e.inclination_deg, r.i)});
        degrees_per_year = std::max({degrees_per_year, apart(e.declination_deg_per_year, r.d_change),
                                     apart(e.inclination_deg_per_year, r.i_change)});
      }
      EXPECT_LT(nt, kAcrossCpus) << id;
      EXPECT_LT(nt_per_year, kAcrossCpus) << id;
      EXPECT_LT(degrees, kAcrossCpus) << id;
      EXPECT_LT(degrees_per_year, kAcrossCpus) << id;
    });
  }
}

// The comparison bites: another date by a millionth of a year is seen.
TEST(Cpu, TheReferenceSeesASmallError) {
  const ReferenceField r = reference_field(built_in("wmm2025"), 50, 8, 100, 2027.0);
  EXPECT_GT(apart(evaluate(built_in("wmm2025"), 50, 8, 100, 2027.000001).north_nt, r.north), kAcrossCpus);
}

// In print two kinds may differ only where the number lies on a tie of the rounding.
TEST(Cpu, PrintedDigitsAgreeButForTies) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    const Table table = points_of(model, size_for(model));
    (void)force_cpu("");
    const Answers first = answers_of(model, table);
    on_every_cpu([&] {
      const Answers other = answers_of(model, table);
      for (std::size_t i = 0; i < table.size(); ++i) {
        const Elements& a = first.elements[i];
        const Elements& b = other.elements[i];
        if (a.horizontal_nt < kAnglesFromNt) continue;
        EXPECT_LT(turned_apart(a.declination_deg, b.declination_deg), kAcrossCpus) << id << " " << i;
        EXPECT_LT(apart(a.inclination_deg, b.inclination_deg), kAcrossCpus) << id << " " << i;
        for (const auto& [x, y] :
             {std::pair(a.declination_deg, b.declination_deg), std::pair(a.inclination_deg, b.inclination_deg)}) {
          const double thousandths = std::abs(x) * 1000;
          const double from_tie = std::abs(thousandths - std::floor(thousandths) - 0.5) / 1000;
          if (from_tie > kAcrossCpus) {
            EXPECT_EQ(format_fixed(x, 3), format_fixed(y, 3)) << id << " " << i;
          }
        }
      }
    });
  }
}

bool same(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }

TEST(Cpu, APointsAnswerDoesNotDependOnItsNeighbours) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    const Table table = points_of(model, size_for(model));
    on_every_cpu([&] {
      const Answers whole = answers_of(model, table);
      std::mt19937 random(5);
      for (std::size_t at = 0; at < table.size();) {
        const std::size_t size = std::min<std::size_t>(table.size() - at, 1 + random() % 40);
        std::vector<double> d(size), rate(size), east(size);
        FieldColumns some;
        some.declination_deg = d;
        some.declination_deg_per_year = rate;
        some.east_nt = east;
        evaluate_columns(model, table.part(at, size), some);
        std::vector<double> alone(size);  // without changes, which takes a shorter way
        FieldColumns less;
        less.declination_deg = alone;
        evaluate_columns(model, table.part(at, size), less);
        for (std::size_t i = 0; i < size; ++i) {
          const Elements& e = whole.elements[at + i];
          ASSERT_TRUE(same(d[i], e.declination_deg) && same(rate[i], e.declination_deg_per_year) &&
                      same(east[i], whole.vectors[at + i].east_nt) && same(alone[i], e.declination_deg))
              << id << " " << at + i;
          ASSERT_TRUE(same(elements(whole.vectors[at + i]).inclination_deg, e.inclination_deg));
        }
        at += size;
      }
    });
  }
}

TEST(AtDate, TheFoldedModelAgrees) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    const double year = model.valid_from + 3.21;
    Table table = points_of(model, size_for(model));
    std::fill(table.date.begin(), table.date.end(), year);
    const CoefficientSet folded = at_date(model, year);
    on_every_cpu([&] {
      const Answers whole = answers_of(model, table);
      const Answers one = answers_of(folded, table);
      std::vector<double> north(table.size());
      FieldColumns only;
      only.north_nt = north;
      evaluate_columns(folded, table.all(), only);
      for (std::size_t i = 0; i < table.size(); ++i) {
        EXPECT_NEAR(one.vectors[i].north_nt, whole.vectors[i].north_nt, kAcrossCpus) << id;
        EXPECT_NEAR(one.vectors[i].down_nt_per_year, whole.vectors[i].down_nt_per_year, kAcrossCpus) << id;
        EXPECT_EQ(north[i], one.vectors[i].north_nt) << id;
      }
    });
  }
}

TEST(Grid, AgreesWithPointsForEverySize) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    const double year = model.valid_to - 0.7;
    for (const auto& [rows, columns] : {std::pair<std::size_t, std::size_t>{1, 1}, {3, 5}, {9, 8}, {11, 21}}) {
      std::vector<double> lat, lon;
      for (std::size_t i = 0; i < rows; ++i) lat.push_back(i == 0 ? 90 : 90 - 180.0 * static_cast<double>(i) / 10);
      for (std::size_t j = 0; j < columns; ++j) lon.push_back(-180 + 27.0 * static_cast<double>(j));
      const std::size_t size = rows * columns;
      on_every_cpu([&] {
        std::vector<double> north(size), down_change(size), d(size), f(size), plain(size);
        FieldColumns all;
        all.north_nt = north;
        all.down_nt_per_year = down_change;
        all.declination_deg = d;
        all.total_nt = f;
        evaluate_grid(model, lat, lon, 1234, year, all);
        FieldColumns less;
        less.north_nt = plain;
        evaluate_grid(model, lat, lon, 1234, year, less);
        for (std::size_t i = 0; i < size; ++i) {
          const FieldVector v = evaluate(model, lat[i / columns], lon[i % columns], 1234, year);
          const Elements e = elements(v);
          ASSERT_NEAR(north[i], v.north_nt, kAcrossCpus) << id << " " << i;
          ASSERT_NEAR(down_change[i], v.down_nt_per_year, kAcrossCpus) << id << " " << i;
          ASSERT_LT(turned_apart(d[i], e.declination_deg), kAcrossCpus) << id << " " << i;
          ASSERT_NEAR(f[i], e.total_nt, kAcrossCpus) << id << " " << i;
          ASSERT_EQ(plain[i], north[i]) << id << " " << i;
        }
      });
    }
  }
}

// Directions over the whole circle, exact where they are whole eighths of it; the library's atan2 as the reference.
TEST(Elements, AnglesAreThoseOfTheLibrary) {
  std::mt19937_64 random(9);
  std::uniform_real_distribution<double> any(-60000, 60000);
  on_every_cpu([&] {
    for (int i = 0; i < 20000; ++i) {
      const FieldVector v{any(random), any(random), any(random), 0, 0, 0};
      ReferenceField r{v.north_nt, v.east_nt, v.down_nt};
      add_reference_elements(r);
      const Elements e = elements(v);
      ASSERT_LT(apart(e.declination_deg, r.d), 1e-13);
      ASSERT_LT(apart(e.inclination_deg, r.i), 1e-13);
    }
    const double tiny = std::numeric_limits<double>::denorm_min();
    for (const double h : {1.0, 30000.0, 1e-100}) {
      EXPECT_EQ(elements({h, h, 0, 0, 0, 0}).declination_deg, 45);
      EXPECT_EQ(elements({-h, h, 0, 0, 0, 0}).declination_deg, 135);
      EXPECT_EQ(elements({-h, -h, 0, 0, 0, 0}).declination_deg, -135);
      EXPECT_EQ(elements({h, -h, 0, 0, 0, 0}).declination_deg, -45);
      EXPECT_EQ(elements({-h, 0, -h, 0, 0, 0}).declination_deg, 180);
      EXPECT_EQ(elements({-h, -tiny, h, 0, 0, 0}).declination_deg, 180);
      EXPECT_EQ(elements({h, 0, -h, 0, 0, 0}).inclination_deg, -45);
    }
    EXPECT_EQ(elements({tiny, 1e-200, 5, 1, 1, 1}).declination_deg, 0);
    EXPECT_EQ(elements({0, 0, 0, 3, 4, 0}).horizontal_nt_per_year, 5);
  });
}

TEST(ForceCpu, TakesWhatTheMachineHasAndRefusesTheRest) {
  const std::vector<std::string_view> names = cpu_names();
  ASSERT_FALSE(names.empty());
  EXPECT_EQ(names.back(), "baseline");
  EXPECT_EQ(*force_cpu("baseline"), "baseline");
  EXPECT_EQ(cpu_name(), "baseline");
  const auto refused = force_cpu("abacus");
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.problem().code, Code::unknown_name);
  EXPECT_EQ(refused.problem().field, "AGONIC_CPU");
  EXPECT_EQ(refused.problem().value, "abacus");
  EXPECT_NE(refused.problem().remedy.find("baseline"), std::string::npos);
  EXPECT_EQ(cpu_name(), "baseline");
  EXPECT_EQ(*force_cpu(""), names.front());
  EXPECT_EQ(cpu_name(), names.front());
}

}  // namespace
}  // namespace agonic::field
