// Every model against GeographicLib's MagneticModel (Debian's 2.1.2), fed with the same coefficients.

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <functional>
#include <random>

#include "field_fixture.hpp"
#include "geographiclib_peer.hpp"
#include "model/field/field.hpp"

namespace agonic::field {
namespace {

constexpr double kOfF = 1e-9;  // largest difference, as a part of F
constexpr int kPoints = 100000;
// Degree 133 takes a hundred times longer; without optimisation or with sanitizers it would hold up the others.
#ifdef NDEBUG
constexpr int kHighDegreePoints = kPoints;
#else
constexpr int kHighDegreePoints = 3000;
#endif

struct Worst {
  double main = 0;    // of F
  double change = 0;  // nT a year
};

// `date` draws the date of the point.
Worst compare(const CoefficientSet& model, const GeographicLib::MagneticModel& peer, int points, unsigned seed,
              const std::function<double(std::mt19937_64&)>& date) {
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> lat(-90, 90);
  std::uniform_real_distribution<double> lon(-180, 360);
  std::uniform_real_distribution<double> height(-10000, 850000);
  std::array<std::vector<double>, 4> column;
  for (int i = 0; i < points; ++i) {
    column[0].push_back(i % 1000 == 0 ? (i % 2000 == 0 ? 90 : -90) : lat(random));
    column[1].push_back(i % 997 == 0 ? 180 : lon(random));
    column[2].push_back(height(random));
    column[3].push_back(date(random));
  }
  std::vector<FieldVector> ours(static_cast<std::size_t>(points));
  evaluate(model, {column[0], column[1], column[2], column[3]}, ours);
  Worst worst;
  for (std::size_t i = 0; i < ours.size(); ++i) {
    double x, y, z, dx, dy, dz;  // east, north, up
    peer(column[3][i], column[0][i], column[1][i], column[2][i], x, y, z, dx, dy, dz);
    const double f = std::hypot(x, y, z);
    const FieldVector& v = ours[i];
    worst.main = std::max(worst.main, std::hypot(v.east_nt - x, v.north_nt - y, v.down_nt + z) / f);
    worst.change =
        std::max(worst.change, std::hypot(v.east_nt_per_year - dx, v.north_nt_per_year - dy, v.down_nt_per_year + dz));
  }
  return worst;
}

std::function<double(std::mt19937_64&)> any_date(const CoefficientSet& model) {
  return [&model](std::mt19937_64& random) {
    return std::uniform_real_distribution<double>(model.valid_from, model.valid_to)(random);
  };
}

void expect_linear_agrees(const std::string& id, int points = kPoints) {
  const Folder folder;
  const CoefficientSet& model = built_in(id);
  const auto peer = peer_model(folder, model, peer_of(model));
  const Worst worst = compare(model, peer, points, 20250101, any_date(model));
  EXPECT_LT(worst.main, kOfF);
  EXPECT_LT(worst.change, 1e-7);
}

TEST(GeographicLibPeer, Wmm2025Agrees) { expect_linear_agrees("wmm2025"); }
TEST(GeographicLibPeer, Wmm2020Agrees) { expect_linear_agrees("wmm2020"); }
TEST(GeographicLibPeer, WmmHr2025Agrees) { expect_linear_agrees("wmmhr2025", kHighDegreePoints); }

TEST(GeographicLibPeer, Igrf14Agrees) {
  const Folder folder;
  const CoefficientSet& model = built_in("igrf14");
  const Worst worst = compare(model, peer_model(folder, model, peer_of(model)), kPoints, 1900, any_date(model));
  EXPECT_LT(worst.main, kOfF);
  EXPECT_LT(worst.change, 1e-7);
}

TEST(GeographicLibPeer, Gufm1AgreesAtSnapshots) {
  const CoefficientSet& model = built_in("gufm1");
  std::mt19937_64 random(1590);
  constexpr int kSnapshots = 50;
  for (int k = 0; k < kSnapshots; ++k) {
    const double year = k == 0 ? 1590 : k == 1 ? 1990 : any_date(model)(random);
    const TimeWeights w = model.weights(year);
    Peer peer{year, 1, {std::vector<double>(model.values_per_set()), std::vector<double>(model.values_per_set())}};
    for (std::size_t i = 0; i < model.values_per_set(); ++i) {
      for (std::size_t j = 0; j < w.count; ++j) {
        peer.sets[0][i] += w.weight[j] * model.sets[w.first + j][i];
        peer.sets[1][i] += w.rate[j] * model.sets[w.first + j][i];
      }
    }
    const Folder folder;
    const Worst worst = compare(model, peer_model(folder, model, peer), kPoints / kSnapshots, static_cast<unsigned>(k),
                                [year](std::mt19937_64&) { return year; });
    EXPECT_LT(worst.main, kOfF) << year;
    EXPECT_LT(worst.change, 1e-7) << year;
  }
}

// The comparison bites: one coefficient off by a hundredth of a nanotesla is seen.
TEST(GeographicLibPeer, SeesASmallErrorInOneCoefficient) {
  const Folder folder;
  const CoefficientSet& model = built_in("wmm2025");
  Peer peer{model.epoch, 1, model.sets};
  peer.sets[0][value_index(12, 7)] += 0.01;
  const Worst worst = compare(model, peer_model(folder, model, peer), 2000, 5, any_date(model));
  EXPECT_GT(worst.main, kOfF);
}

}  // namespace
}  // namespace agonic::field
