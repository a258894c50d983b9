// Index errors from sightings: published deviations, invented instruments of known errors, mistakes by name.
#include "model/instrument/fit.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/model/instrument/synthetic.hpp"
#include "tests/model/reference_rows.hpp"

namespace agonic::instrument {
namespace {

bool remarked(const AzimuthFit& fit, std::string_view code) {
  return std::any_of(fit.remarks.begin(), fit.remarks.end(), [&](const Remark& r) { return r.code == code; });
}
double sigma(const AzimuthFit& fit, std::size_t k) {
  return std::sqrt(fit.covariance.upper[IndexCovariance::at(k, k)]);
}

// Sign turned: a ship's deviation is magnetic minus compass.
TEST(Fit, FindsThePublishedCoefficientsOfAShip) {
  std::vector<Observation> observations;
  std::vector<double> deviation;
  for (const auto& row : reference_rows("ship_deviation.txt")) {
    Observation o;
    o.magnetic_deg = std::stod(row[0]);
    deviation.push_back(std::stod(row[1]));
    o.reading_deg = o.magnetic_deg - deviation.back();
    observations.push_back(o);
  }
  const auto fit = fit_azimuth(observations, {});
  ASSERT_TRUE(fit) << fit.problem().text();
  EXPECT_EQ(fit->shape, Shape::full) << fit->rule;
  EXPECT_EQ(fit->used, 8u);
  // Least squares, worked independently: 1.000, 11.940, 7.960, 5.000, 1.500.
  EXPECT_NEAR(-fit->curve.a, 1.000, 0.0005);
  EXPECT_NEAR(-fit->curve.b, 11.940, 0.0005);
  EXPECT_NEAR(-fit->curve.c, 7.960, 0.0005);
  EXPECT_NEAR(-fit->curve.d, 5.000, 0.0005);
  EXPECT_NEAR(-fit->curve.e, 1.500, 0.0005);
  double squares = 0;
  for (const Outcome& outcome : fit->outcomes) squares += outcome.residual_deg * outcome.residual_deg;
  EXPECT_NEAR(std::sqrt(squares / 8), 0.051, 0.0005);
  // The handbook's shortcuts: B from E and W, C from N and S, D from the quarters, E from the cardinals.
  const auto& d = deviation;
  EXPECT_NEAR((d[2] - d[6]) / 2, -fit->curve.b, 0.1);
  EXPECT_NEAR((d[0] - d[4]) / 2, -fit->curve.c, 0.1);
  EXPECT_NEAR(((d[1] + d[5]) - (d[3] + d[7])) / 4, -fit->curve.d, 1e-9);
  EXPECT_NEAR(((d[0] + d[4]) - (d[2] + d[6])) / 4, -fit->curve.e, 1e-9);
  // Beyond 5 degrees it is damage, not calibration (our own judgement).
  EXPECT_TRUE(remarked(*fit, "magnetised"));
}

// Each parameter within three sigma in at least 990 of 1,000 trials; and nothing left out of clean sightings.
TEST(Fit, CoversTheTruthInAThousandTrials) {
  std::mt19937 random(990);
  std::uniform_real_distribution<double> size(1.5, 3);
  std::bernoulli_distribution minus(0.5);
  const auto coefficient = [&] { return (minus(random) ? -1 : 1) * size(random); };
  for (const bool stated : {true, false}) {
    int within[5] = {}, left_out = 0, full = 0;
    for (int trial = 0; trial < 1000; ++trial) {
      const IndexCurve truth{coefficient(), coefficient(), coefficient(), coefficient() / 2, coefficient() / 2};
      const auto fit = fit_azimuth(sightings(truth, 18, 0.4, random, stated), {});
      ASSERT_TRUE(fit);
      const double off[] = {fit->curve.a - truth.a, fit->curve.b - truth.b, fit->curve.c - truth.c,
                            fit->curve.d - truth.d, fit->curve.e - truth.e};
      for (std::size_t k = 0; k < 5; ++k) within[k] += std::abs(off[k]) <= 3 * sigma(*fit, k);
      left_out += static_cast<int>(fit->left_out);
      full += fit->shape == Shape::full;
    }
    for (const int count : within) EXPECT_GE(count, 990);
    EXPECT_GE(full, 995);
    EXPECT_LE(left_out, 5) << "of 18,000";
  }
}

TEST(Fit, CoversAConstantHoweverFewTheSightings) {
  std::mt19937 random(33);
  for (const std::size_t n : {1u, 2u, 3u, 5u}) {
    int within = 0;
    for (int trial = 0; trial < 1000; ++trial) {
      const IndexCurve truth{-1.25};
      const auto fit = fit_azimuth(sightings(truth, n, 0.5, random, false), {});
      ASSERT_TRUE(fit);
      within += std::abs(fit->curve.a - truth.a) <= 3 * sigma(*fit, 0);
    }
    EXPECT_GE(within, 990) << n;
  }
}

// The declination's own error is the same for all sightings of a site: it must be covered as well.
TEST(Fit, CarriesTheErrorOfTheDeclinationWithoutAveragingIt) {
  std::mt19937 random(44);
  std::normal_distribution<double> common(0, 0.4);
  int within = 0;
  for (int trial = 0; trial < 1000; ++trial) {
    auto observations = sightings({1}, 20, 0.5, random);
    const double site = common(random);
    for (Observation& o : observations) o.magnetic_deg = wrap_360(o.magnetic_deg + site);
    const auto fit = fit_azimuth(observations, {0.4, 0.1, {}});
    within += std::abs(fit->curve.a - 1) <= 3 * sigma(*fit, 0);
  }
  EXPECT_GE(within, 990);
}

TEST(Fit, TakesNoCurveThatIsNotThere) {
  std::mt19937 random(5);
  int constant = 0;
  for (int trial = 0; trial < 500; ++trial)
    constant += fit_azimuth(sightings({0.7}, 16, 0.5, random), {})->shape == Shape::constant;
  EXPECT_GE(constant, 485);  // one in a hundred for each richer shape
  // Half a circle of headings determines no curve, whatever they say.
  auto half = sightings({0, 3, 3, 1, 1}, 24, 0.2, random);
  std::erase_if(half, [](const Observation& o) { return o.magnetic_deg > 180; });
  const auto fit = fit_azimuth(half, {});
  EXPECT_EQ(fit->shape, Shape::constant);
  EXPECT_NE(fit->rule.find("gap"), std::string::npos);
}

TEST(Fit, TakesTheSemicircularCurveWhereThatIsAll) {
  std::mt19937 random(6);
  int semicircular = 0;
  for (int trial = 0; trial < 200; ++trial)
    semicircular += fit_azimuth(sightings({0.5, 2, -1}, 16, 0.4, random), {})->shape == Shape::semicircular;
  EXPECT_GE(semicircular, 190);
}

// One planted mistake in each of 100 sets: named for what it is in at least 95, and nothing else named.
struct Plant {
  const char* name;
  Blunder blunder;
  void (*spoil)(Observation&, std::mt19937&);
};
void turn_end(Observation& o, std::mt19937&) { o.reading_deg = wrap_360(o.reading_deg + 180); }
void mirror(Observation& o, std::mt19937&) { o.reading_deg = wrap_360(360 - o.reading_deg); }
void turn_setting(Observation& o, std::mt19937&) {
  o.set_deg = -o.set_deg;
  o.mistakes.push_back({Blunder::setting_sign, wrap_180(o.reading_deg + o.set_deg - o.magnetic_deg)});
}
void misread(Observation& o, std::mt19937& random) {
  std::uniform_real_distribution<double> size(6, 60);
  o.reading_deg = wrap_360(o.reading_deg + size(random));
}

TEST(Fit, NamesPlantedMistakes) {
  const Plant plants[] = {{"wrong end", Blunder::wrong_end, turn_end},
                          {"mirror", Blunder::mirror_figures, mirror},
                          {"sign of the setting", Blunder::setting_sign, turn_setting},
                          {"gross", Blunder::gross, misread}};
  for (const Plant& plant : plants)
    for (const bool curved : {false, true}) {
      std::mt19937 random(95);
      int named = 0, others = 0;
      for (int trial = 0; trial < 100; ++trial) {
        auto observations = sightings(curved ? IndexCurve{1, 1.5, -1, 0.5, 0.3} : IndexCurve{1}, 16, 0.5, random);
        std::size_t victim = random() % 16;
        // 360 - x is x at 0 and 180, and the other end of the needle at 90 and 270: there nobody can tell them apart.
        const auto telling = [](double reading) {
          return std::abs(sin_deg(reading)) > 0.25 && std::abs(cos_deg(reading)) > 0.25;
        };
        while (!telling(observations[victim].reading_deg) || std::abs(observations[victim].set_deg) < 4)
          victim = (victim + 1) % 16;
        plant.spoil(observations[victim], random);
        const auto fit = fit_azimuth(observations, {});
        ASSERT_TRUE(fit);
        for (std::size_t i = 0; i < observations.size(); ++i)
          if (i == victim)
            named += !fit->outcomes[i].used && fit->outcomes[i].blunder == plant.blunder;
          else
            others += !fit->outcomes[i].used;
      }
      EXPECT_GE(named, 95) << plant.name << (curved ? ", curve" : ", constant");
      EXPECT_LE(others, 2) << plant.name;
    }
}

TEST(Fit, NamesNoneOfCleanSightings) {
  std::mt19937 random(96);
  for (int trial = 0; trial < 100; ++trial)
    for (const bool stated : {true, false}) {
      const IndexCurve curve = trial % 2 == 0 ? IndexCurve{1} : IndexCurve{1, 1.5, -1, 0.5, 0.3};
      EXPECT_EQ(fit_azimuth(sightings(curve, 16, 0.5, random, stated), {})->left_out, 0u) << trial;
    }
}

TEST(Fit, FindsSeveralMistakesAtOnceAndIsNotMisled) {
  std::mt19937 random(17);
  int good = 0;
  for (int trial = 0; trial < 100; ++trial) {
    auto observations = sightings({-2}, 15, 0.5, random);
    turn_end(observations[2], random);
    turn_end(observations[3], random);
    mirror(observations[5], random);  // near 115 and 235: far from where it means nothing
    observations[9].reading_deg += 17;
    observations[12].reading_deg += 16;
    const auto fit = fit_azimuth(observations, {});
    ASSERT_TRUE(fit);
    good += std::abs(fit->curve.a + 2) < 0.6 && fit->left_out == 5 && fit->outcomes[2].blunder == Blunder::wrong_end &&
            fit->outcomes[9].blunder == Blunder::gross;
  }
  EXPECT_GE(good, 95);
}

TEST(Fit, RefusesSightingsThatDoNotAgree) {
  std::mt19937 random(18);
  auto mirrored = sightings({0}, 12, 0.3, random);
  for (Observation& o : mirrored) {
    o.reading_deg = wrap_360(o.reading_deg - o.set_deg);
    o.set_deg = 0;
    mirror(o, random);
  }
  const auto fit = fit_azimuth(mirrored, {});
  ASSERT_FALSE(fit);
  EXPECT_NE(fit.problem().remedy.find("360 minus the reading"), std::string::npos);
  std::vector<Observation> two(2);
  two[1].reading_deg = 90;
  EXPECT_FALSE(fit_azimuth(two, {}));
  EXPECT_FALSE(fit_azimuth({}, {}));
}

TEST(Fit, AsksWhetherTheCircleWasLeftSet) {
  std::mt19937 random(19);
  const auto text = [&](double constant) {
    const auto fit = fit_azimuth(sightings({constant}, 10, 0.3, random), {0.3, 0.1, -13.0});
    for (const Remark& r : fit->remarks)
      if (r.code == "constant-large") return r.text;
    return std::string();
  };
  EXPECT_NE(text(-13.4).find("near the declination 13.00 W (-13.00)"), std::string::npos) << text(-13.4);
  EXPECT_NE(text(12.6).find("wrong side"), std::string::npos);
  EXPECT_NE(text(7).find("left set?"), std::string::npos);
  EXPECT_EQ(text(7).find("near"), std::string::npos);
  EXPECT_TRUE(text(4.5).empty());
  EXPECT_TRUE(remarked(*fit_azimuth(sightings({179}, 10, 0.3, random), {}), "all-wrong-end"));
}

TEST(Fit, IsNeverSurerThanTheDailySwing) {
  std::mt19937 random(20);
  const auto fit = fit_azimuth(sightings({1}, 400, 0.5, random), {0, 0.2, {}});
  EXPECT_LT(std::sqrt(fit->of_sightings.upper[0]), 0.05);
  EXPECT_DOUBLE_EQ(std::sqrt(fit->covariance.upper[0]), 0.2);
  EXPECT_DOUBLE_EQ(fit->covariance.sigma_at(77), 0.2);
  EXPECT_LT(daily_swing_deg(40), daily_swing_deg(-60));
  EXPECT_LT(daily_swing_deg(60), daily_swing_deg(75));
}

TEST(Fit, WarnsOfTooFewSightings) {
  std::mt19937 random(21);
  EXPECT_TRUE(remarked(*fit_azimuth(sightings({1}, 1, 0.5, random), {}), "one-sighting"));
  EXPECT_TRUE(remarked(*fit_azimuth(sightings({1}, 2, 0.5, random), {}), "few-sightings"));
  EXPECT_TRUE(remarked(*fit_azimuth(sightings({1}, 9, 0.5, random, false), {}), "sigma-assumed"));
  EXPECT_FALSE(remarked(*fit_azimuth(sightings({1}, 9, 0.5, random, true), {}), "sigma-assumed"));
}

}  // namespace
}  // namespace agonic::instrument
