// Wraps at their edges, trigonometry in degrees, and directions that know their north.
#include "model/units/angle.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace agonic {
namespace {

TEST(Wrap, HoldsItsIntervalAtTheEdges) {
  EXPECT_EQ(wrap_360(0), 0);
  EXPECT_EQ(wrap_360(360), 0);
  EXPECT_EQ(wrap_360(720), 0);
  EXPECT_EQ(wrap_360(-360), 0);
  EXPECT_EQ(wrap_360(-90), 270);
  EXPECT_EQ(wrap_360(359.5), 359.5);
  EXPECT_EQ(wrap_180(180), 180);
  EXPECT_EQ(wrap_180(-180), 180);
  EXPECT_EQ(wrap_180(540), 180);
  EXPECT_EQ(wrap_180(-540), 180);
  EXPECT_EQ(wrap_180(181), -179);
  EXPECT_EQ(wrap_180(-181), 179);
  EXPECT_EQ(wrap_180(360), 0);
}

TEST(Wrap, GivesNoMinusZeroAndNo360FromATinyNegative) {
  for (double degrees : {-0.0, -360.0, -720.0}) {
    EXPECT_FALSE(std::signbit(wrap_360(degrees))) << degrees;
    EXPECT_FALSE(std::signbit(wrap_180(degrees))) << degrees;
  }
  EXPECT_EQ(wrap_360(-1e-20), 0);
  EXPECT_EQ(wrap_360(-std::numeric_limits<double>::denorm_min()), 0);
  EXPECT_LT(wrap_360(-1e-13), 360);
}

TEST(Wrap, StaysInsideForAnySize) {
  std::mt19937 random(360);
  std::uniform_real_distribution<double> any(-1e7, 1e7);
  for (int i = 0; i < 20'000; ++i) {
    const double degrees = any(random);
    EXPECT_TRUE(wrap_360(degrees) >= 0 && wrap_360(degrees) < 360) << degrees;
    EXPECT_TRUE(wrap_180(degrees) > -180 && wrap_180(degrees) <= 180) << degrees;
    EXPECT_NEAR(std::remainder(wrap_360(degrees) - wrap_180(degrees), 360), 0, 1e-9);
  }
}

TEST(Trigonometry, IsExactAtMultiplesOf90AndAgreesWithRadiansElsewhere) {
  for (int turns = -2; turns <= 2; ++turns) {
    const double round = 360.0 * turns;
    EXPECT_EQ(sin_deg(round), 0);
    EXPECT_EQ(sin_deg(round + 90), 1);
    EXPECT_EQ(sin_deg(round + 180), 0);
    EXPECT_EQ(sin_deg(round + 270), -1);
    EXPECT_EQ(cos_deg(round), 1);
    EXPECT_EQ(cos_deg(round + 90), 0);
    EXPECT_EQ(cos_deg(round + 180), -1);
    EXPECT_EQ(cos_deg(round + 270), 0);
  }
  EXPECT_NEAR(sin_deg(30), 0.5, 1e-15);
  EXPECT_NEAR(cos_deg(60), 0.5, 1e-15);
  for (double degrees = -720; degrees <= 720; degrees += 0.37) {
    EXPECT_NEAR(sin_deg(degrees), std::sin(degrees * kDegree), 4e-15) << degrees;
    EXPECT_NEAR(cos_deg(degrees), std::cos(degrees * kDegree), 4e-15) << degrees;
  }
}

// Signs by definition: declination from true to magnetic north, convergence from true to grid north, east positive.
TEST(Norths, TurnIntoEachOtherWithEastPositive) {
  EXPECT_EQ((Azimuth<Magnetic>(100) + Declination{10}).degrees(), 110);
  EXPECT_EQ((Azimuth<True>(5) - Declination{10}).degrees(), 355);
  EXPECT_EQ((Azimuth<Grid>(100) + Convergence{2}).degrees(), 102);
  EXPECT_EQ((Azimuth<True>(100) - Convergence{2}).degrees(), 98);
  EXPECT_EQ((Declination{10} - Convergence{2}).deg, 8);
  EXPECT_EQ((Azimuth<Grid>(100) - GridMagneticAngle{8}).degrees(), 92);
  EXPECT_EQ(magnetic(Azimuth<Circle>(100), CircleSetting{-10}, AzimuthIndexError{1}).degrees(), 109);
  EXPECT_EQ(Azimuth<True>(200).back().degrees(), 20);
  EXPECT_EQ(Azimuth<True>(360).degrees(), 0);
}

}  // namespace
}  // namespace agonic
