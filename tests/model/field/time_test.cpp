// The time behaviours. Splines against the textbook definition (Cox and de Boor's recursion, written out plainly).

#include <gtest/gtest.h>

#include <cmath>

#include "field_fixture.hpp"
#include "model/field/field.hpp"

namespace agonic::field {
namespace {

double b_spline(const std::vector<double>& knots, std::size_t i, std::size_t order, double x) {
  if (order == 1) return knots[i] <= x && x < knots[i + 1] ? 1 : 0;
  return (x - knots[i]) / (knots[i + order - 1] - knots[i]) * b_spline(knots, i, order - 1, x) +
         (knots[i + order] - x) / (knots[i + order] - knots[i + 1]) * b_spline(knots, i + 1, order - 1, x);
}

TEST(Spline, WeightsAreTheCubicBSplines) {
  const CoefficientSet& model = built_in("gufm1");
  for (double year = 1590; year <= 1990; year += 0.7) {
    const TimeWeights w = model.weights(year);
    ASSERT_EQ(w.count, 4u);
    for (std::size_t k = 0; k < 4; ++k) {
      EXPECT_NEAR(w.weight[k], b_spline(model.times, w.first + k, 4, year), 1e-14) << year;
      const double d = 1e-4;
      EXPECT_NEAR(
          w.rate[k],
          (b_spline(model.times, w.first + k, 4, year + d) - b_spline(model.times, w.first + k, 4, year - d)) / (2 * d),
          1e-7)
          << year;
    }
  }
}

TEST(Spline, KnotsOfUnequalDistanceServeToo) {
  CoefficientSet model;
  model.behaviour = TimeBehaviour::spline;
  model.times = {0, 1, 2.5, 4, 4.5, 7, 8, 9.5};
  for (const double year : {4.0, 4.2, 4.4999}) {
    const TimeWeights w = model.weights(year);
    EXPECT_EQ(w.first, 0u);
    double sum = 0;
    double slope = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      EXPECT_NEAR(w.weight[k], b_spline(model.times, k, 4, year), 1e-14);
      sum += w.weight[k];
      slope += w.rate[k];
    }
    EXPECT_NEAR(sum, 1, 1e-14);
    EXPECT_NEAR(slope, 0, 1e-14);
  }
}

TEST(Spline, IsSmoothAtItsLastYear) {
  const CoefficientSet& model = built_in("gufm1");
  const FieldVector end = evaluate(model, 51, 0, 0, 1990.0);
  const FieldVector before = evaluate(model, 51, 0, 0, 1990.0 - 1e-6);
  EXPECT_NEAR(end.north_nt, before.north_nt, 1e-3);
  EXPECT_NEAR(end.north_nt_per_year, before.north_nt_per_year, 1e-3);
}

TEST(Piecewise, EpochsGiveTheirOwnCoefficientsAndChangeRightHandedExceptAtTheEnd) {
  const CoefficientSet& model = built_in("igrf14");
  const TimeWeights inside = model.weights(1950.0);
  EXPECT_EQ(model.times[inside.first], 1950.0);
  EXPECT_EQ(inside.weight[0], 1);
  EXPECT_EQ(inside.weight[1], 0);
  EXPECT_DOUBLE_EQ(inside.rate[1], 0.2);
  const TimeWeights last = model.weights(2030.0);
  EXPECT_EQ(model.times[last.first + 1], 2030.0);
  EXPECT_EQ(last.weight[0], 0);
  EXPECT_EQ(last.weight[1], 1);

  // The yearly change is that of the years after an epoch; at the last one, of those before.
  const double after = evaluate(model, 40, 20, 0, 1951.0).east_nt - evaluate(model, 40, 20, 0, 1950.0).east_nt;
  EXPECT_NEAR(evaluate(model, 40, 20, 0, 1950.0).east_nt_per_year, after, 1e-7);
  const double before = evaluate(model, 40, 20, 0, 2030.0).east_nt - evaluate(model, 40, 20, 0, 2029.0).east_nt;
  EXPECT_NEAR(evaluate(model, 40, 20, 0, 2030.0).east_nt_per_year, before, 1e-7);
}

TEST(Linear, IsTheEpochPlusYearsTimesChange) {
  const CoefficientSet& model = built_in("wmm2020");
  const TimeWeights w = model.weights(2022.5);
  EXPECT_EQ(w.weight[0], 1);
  EXPECT_EQ(w.weight[1], 2.5);
  EXPECT_EQ(w.rate[0], 0);
  EXPECT_EQ(w.rate[1], 1);
}

// The search for the interval begins with a guess; the plain definition must come out, also with unequal intervals.
TEST(Pieces, HoldTheDatesByTheirEpochs) {
  CoefficientSet uneven;
  uneven.behaviour = TimeBehaviour::piecewise;
  uneven.times = {1500, 1900, 1901, 1901.5, 1980, 1990, 2000.25, 2020};
  for (const CoefficientSet* model : {&built_in("igrf14"), static_cast<const CoefficientSet*>(&uneven)}) {
    std::vector<double> dates = model->times;
    for (const double epoch : model->times) {
      dates.push_back(std::nextafter(epoch, 0));
      dates.push_back(std::nextafter(epoch, 3000));
    }
    for (double year = model->times.front(); year < model->times.back(); year += 0.37) dates.push_back(year);
    for (const double year : dates) {
      std::size_t expected = 0;
      while (expected + 2 < model->times.size() && model->times[expected + 1] <= year) ++expected;
      ASSERT_EQ(model->piece_of(year), expected) << year;
    }
    std::vector<std::uint32_t> all(dates.size());
    model->pieces_of(dates, all);
    for (std::size_t i = 0; i < dates.size(); ++i) ASSERT_EQ(all[i], model->piece_of(dates[i]));
  }
}

TEST(YearlyChange, IsTheSlopeOfTheFieldForEveryBehaviour) {
  for (const std::string& id : all_ids()) {
    const CoefficientSet& model = built_in(id);
    const double year = model.valid_from + 1.2345;
    const double d = 1e-3;
    const FieldVector low = evaluate(model, -20, 100, 500, year - d);
    const FieldVector high = evaluate(model, -20, 100, 500, year + d);
    const FieldVector v = evaluate(model, -20, 100, 500, year);
    EXPECT_NEAR(v.north_nt_per_year, (high.north_nt - low.north_nt) / (2 * d), 1e-4) << id;
    EXPECT_NEAR(v.down_nt_per_year, (high.down_nt - low.down_nt) / (2 * d), 1e-4) << id;
    const double slope = (elements(high).declination_deg - elements(low).declination_deg) / (2 * d);
    EXPECT_NEAR(elements(v).declination_deg_per_year, slope, 1e-7) << id;
  }
}

}  // namespace
}  // namespace agonic::field
