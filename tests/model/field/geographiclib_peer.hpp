// Our coefficients in the data format that GeographicLib documents for its MagneticModel: a text file of metadata
// (.wmm) and a binary one (.wmm.cof) with, for each set, degree and order as 32-bit integers and the cosine and sine
// coefficients column by column, order by order, little-endian. Tests and benchmarks read them back as its models.
#pragma once

#include <unistd.h>

#include <GeographicLib/MagneticModel.hpp>
#include <bit>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "model/field/coefficients.hpp"

namespace agonic::field {

static_assert(std::endian::native == std::endian::little, "the binary files below are written as the memory stands");

/// A folder that is gone afterwards.
class Folder {
 public:
  Folder() {
    path_ = std::filesystem::temp_directory_path() / ("agonic_field_peer_" + std::to_string(::getpid()));
    std::filesystem::create_directories(path_);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() { std::filesystem::remove_all(path_); }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

template <class T>
void put(std::ofstream& out, T value) {
  out.write(reinterpret_cast<const char*>(&value), sizeof value);
}

inline void put_set(std::ofstream& out, const std::vector<double>& set, int degree) {
  put(out, static_cast<std::int32_t>(degree));
  put(out, static_cast<std::int32_t>(degree));
  for (int m = 0; m <= degree; ++m)
    for (int n = m; n <= degree; ++n) put(out, n == 0 ? 0.0 : set[value_index(n, m)]);
  for (int m = 1; m <= degree; ++m)
    for (int n = m; n <= degree; ++n) put(out, set[value_index(n, m) + 1]);
}

/// What GeographicLib is given: field sets `step_years` apart from `epoch`, the last set being the yearly change.
struct Peer {
  double epoch = 0;
  double step_years = 1;
  std::vector<std::vector<double>> sets;
};

/// The peer of a linear or piecewise model of equal steps, whose last set becomes a yearly change.
inline Peer peer_of(const CoefficientSet& model) {
  if (model.behaviour == TimeBehaviour::linear) return {model.epoch, 1, model.sets};
  const double step = model.times[1] - model.times[0];
  Peer peer{model.times.front(), step, model.sets};
  const std::vector<double>& before = model.sets[model.sets.size() - 2];
  for (std::size_t i = 0; i < before.size(); ++i) peer.sets.back()[i] = (model.sets.back()[i] - before[i]) / step;
  return peer;
}

inline GeographicLib::MagneticModel peer_model(const Folder& folder, const CoefficientSet& model, const Peer& peer) {
  const std::string name = "peer_" + model.id;
  std::ofstream about(folder.path() / (name + ".wmm"));
  about.precision(17);
  about << "WMMF-1\nName " << name << "\nDescription written by a test\nReleaseDate 2000-01-01\nRadius "
        << model.radius_km * 1000 << "\nType Linear\nEpoch " << peer.epoch << "\nDeltaEpoch " << peer.step_years
        << "\nNumModels " << peer.sets.size() - 1 << "\nNormalization schmidt\nMinTime " << model.valid_from
        << "\nMaxTime " << model.valid_to << "\nMinHeight -20000\nMaxHeight 900000\nID AGONIC-T\n";
  std::ofstream data(folder.path() / (name + ".wmm.cof"), std::ios::binary);
  data << "AGONIC-T";
  for (const auto& set : peer.sets) put_set(data, set, model.degree);
  about.close();
  data.close();
  return GeographicLib::MagneticModel(name, folder.path().string());
}

}  // namespace agonic::field
