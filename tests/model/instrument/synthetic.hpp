// Invented instruments: sightings made from known index errors and noise.
#pragma once

#include <random>
#include <vector>

#include "model/instrument/fit.hpp"
#include "model/units/angle.hpp"

namespace agonic::instrument {

/// `n` sightings all round the circle, a little irregular, the noise normal.
inline std::vector<Observation> sightings(const IndexCurve& curve, std::size_t n, double sigma_deg,
                                          std::mt19937& random, bool stated = true) {
  std::normal_distribution<double> noise(0, sigma_deg);
  std::uniform_real_distribution<double> jitter(-8, 8), set(-15, 15);
  std::vector<Observation> out;
  for (std::size_t i = 0; i < n; ++i) {
    Observation o;
    o.magnetic_deg = wrap_360(360.0 * static_cast<double>(i) / static_cast<double>(n) + jitter(random) + 5);
    o.set_deg = set(random);
    o.sigma_deg = stated ? sigma_deg : 0.5;
    o.sigma_stated = stated;
    o.reading_deg = wrap_360(o.magnetic_deg + curve.at(o.magnetic_deg) + o.set_deg + noise(random));
    out.push_back(o);
  }
  return out;
}

}  // namespace agonic::instrument
