// The field against GeographicLib's MagneticModel and MagneticCircle, in one process and with the same coefficients.
//
// Names are field/<what>/<model>/<who>; run.sh divides the rates of those that differ in <who> only.

#include <benchmark/benchmark.h>

#include <GeographicLib/MagneticCircle.hpp>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <memory>
#include <random>
#include <vector>

#include "model/field/catalogue.hpp"
#include "model/field/cpu.hpp"
#include "model/field/field.hpp"
#include "tests/model/field/geographiclib_peer.hpp"

namespace agonic::field {
namespace {

constexpr std::string_view kPeerName = "GeographicLib";

struct Sample {
  std::vector<double> lat, lon, height, date;
  [[nodiscard]] Points points() const { return {lat, lon, height, date}; }
};

// Random places and dates within the model, `year` for one date. Each kind of processor gets the same ones.
Sample sample(const CoefficientSet& model, std::size_t size, bool one_date) {
  std::mt19937_64 random(1);
  const auto between = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
  const double year = (model.valid_from + model.valid_to) / 2;
  Sample s;
  for (std::size_t i = 0; i < size; ++i) {
    s.lat.push_back(between(-90, 90));
    s.lon.push_back(between(-180, 180));
    s.height.push_back(between(0, 3000));
    s.date.push_back(one_date ? year : between(model.valid_from, model.valid_to));
  }
  return s;
}

// All results, each a column.
struct Results {
  std::vector<std::vector<double>> column;
  explicit Results(std::size_t size) : column(14, std::vector<double>(size)) {}
  /// D, I, H, F; with `changes` also their yearly changes.
  [[nodiscard]] FieldColumns elements(bool changes) {
    FieldColumns c;
    c.declination_deg = column[0];
    c.inclination_deg = column[1];
    c.horizontal_nt = column[2];
    c.total_nt = column[3];
    if (changes) {
      c.declination_deg_per_year = column[4];
      c.inclination_deg_per_year = column[5];
      c.horizontal_nt_per_year = column[6];
      c.total_nt_per_year = column[7];
    }
    return c;
  }
};

// GeographicLib's models, made when first asked for.
struct Peers {
  Folder folder;
  std::map<std::string, std::unique_ptr<const GeographicLib::MagneticModel>> models;
  const GeographicLib::MagneticModel& of(const CoefficientSet& model) {
    auto& held = models[model.id];
    if (!held) {
      // Splines are no time behaviour of GeographicLib: it gets as many coefficients, linear in time.
      const Peer peer = model.behaviour == TimeBehaviour::spline
                            ? Peer{model.valid_from, 1, {model.sets[0], model.sets[1]}}
                            : peer_of(model);
      held.reset(new GeographicLib::MagneticModel(peer_model(folder, model, peer)));
    }
    return *held;
  }
};

void count(benchmark::State& state, std::size_t points) {
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(points));
}

void ours(benchmark::State& state, const CoefficientSet& model, std::size_t size, bool one_date, bool changes,
          std::string_view cpu) {
  if (!force_cpu(cpu)) return state.SkipWithError("no such processor");
  const Sample s = sample(model, size, one_date);
  Results results(size);
  const FieldColumns out = results.elements(changes);
  for (auto _ : state) {
    evaluate_columns(model, s.points(), out);
    benchmark::ClobberMemory();
  }
  count(state, size);
}

void theirs(benchmark::State& state, const CoefficientSet& model, std::size_t size, bool one_date, bool changes,
            Peers& peers) {
  const GeographicLib::MagneticModel& peer = peers.of(model);
  const Sample s = sample(model, size, one_date);
  for (auto _ : state) {
    for (std::size_t i = 0; i < size; ++i) {
      double x, y, z, dx, dy, dz, h, f, d, inclination;
      if (changes) {
        double dh, df, dd, di;
        peer(s.date[i], s.lat[i], s.lon[i], s.height[i], x, y, z, dx, dy, dz);
        GeographicLib::MagneticModel::FieldComponents(x, y, z, dx, dy, dz, h, f, d, inclination, dh, df, dd, di);
        benchmark::DoNotOptimize(di);
      } else {
        peer(s.date[i], s.lat[i], s.lon[i], s.height[i], x, y, z);
        GeographicLib::MagneticModel::FieldComponents(x, y, z, h, f, d, inclination);
      }
      benchmark::DoNotOptimize(d);
    }
  }
  count(state, size);
}

// One point a call, as a lookup has it.
void one_point(benchmark::State& state, const CoefficientSet& model, std::string_view cpu) {
  if (!force_cpu(cpu)) return state.SkipWithError("no such processor");
  const Sample s = sample(model, 256, false);
  std::size_t i = 0;
  for (auto _ : state) {
    FieldVector v;
    Elements e;
    evaluate(model, {{&s.lat[i], 1}, {&s.lon[i], 1}, {&s.height[i], 1}, {&s.date[i], 1}}, {&v, 1}, {&e, 1});
    benchmark::DoNotOptimize(e);
    i = (i + 1) % 256;
  }
  count(state, 1);
}

struct Axes {
  std::vector<double> lat, lon;
  explicit Axes(double step) {
    for (double x = -89.5; x <= 89.5; x += step) lat.push_back(x);
    for (double x = -180; x < 180; x += step) lon.push_back(x);
  }
  [[nodiscard]] std::size_t size() const { return lat.size() * lon.size(); }
};

void our_grid(benchmark::State& state, const CoefficientSet& model, double step, std::string_view cpu) {
  if (!force_cpu(cpu)) return state.SkipWithError("no such processor");
  const Axes axes(step);
  Results results(axes.size());
  const FieldColumns out = results.elements(true);
  for (auto _ : state) {
    evaluate_grid(model, axes.lat, axes.lon, 0, model.valid_from + 1.3, out);
    benchmark::ClobberMemory();
  }
  count(state, axes.size());
}

void their_grid(benchmark::State& state, const CoefficientSet& model, double step, Peers& peers) {
  const GeographicLib::MagneticModel& peer = peers.of(model);
  const Axes axes(step);
  for (auto _ : state) {
    for (const double lat : axes.lat) {
      const GeographicLib::MagneticCircle circle = peer.Circle(model.valid_from + 1.3, lat, 0);
      for (const double lon : axes.lon) {
        double x, y, z, dx, dy, dz, h, f, d, inclination, dh, df, dd, di;
        circle(lon, x, y, z, dx, dy, dz);
        GeographicLib::MagneticModel::FieldComponents(x, y, z, dx, dy, dz, h, f, d, inclination, dh, df, dd, di);
        benchmark::DoNotOptimize(di);
        benchmark::DoNotOptimize(d);
      }
    }
  }
  count(state, axes.size());
}

void add_all(const Catalogue& catalogue, Peers& peers) {
  const auto add = [](const std::string& name, std::string_view who, auto run) {
    benchmark::RegisterBenchmark((name + "/" + std::string(who)).c_str(), run);
  };
  for (const auto& held : catalogue.models()) {
    const CoefficientSet& model = *held;
    const bool fine = model.degree > 100;
    const std::size_t size = fine ? 256 : 8192;
    const double step = fine ? 6 : 2;
    const std::string full = "field/full/" + model.id;
    const std::string one_date = "field/one-date/" + model.id;
    const std::string single = "field/one-point/" + model.id;
    const std::string grid = "field/grid/" + model.id;
    // The peer between ours, so that a slow moment of the machine meets both.
    const auto folded = std::make_shared<const CoefficientSet>(at_date(model, (model.valid_from + model.valid_to) / 2));
    const auto add_peer = [&] {
      add(full, kPeerName, [&, size](benchmark::State& s) { theirs(s, model, size, false, true, peers); });
      add(one_date, kPeerName, [&, size](benchmark::State& s) { theirs(s, model, size, true, false, peers); });
      add(single, kPeerName, [&](benchmark::State& s) { theirs(s, model, 256, false, true, peers); });
      add(grid, kPeerName, [&, step](benchmark::State& s) { their_grid(s, model, step, peers); });
    };
    add_peer();
    for (const std::string_view cpu : cpu_names()) {
      add(full, cpu, [&, size, cpu](benchmark::State& s) { ours(s, model, size, false, true, cpu); });
      add(one_date, cpu, [=](benchmark::State& s) { ours(s, *folded, size, true, false, cpu); });
      add(single, cpu, [&, cpu](benchmark::State& s) { one_point(s, model, cpu); });
      add(grid, cpu, [&, step, cpu](benchmark::State& s) { our_grid(s, model, step, cpu); });
    }
  }
}

}  // namespace
}  // namespace agonic::field

int main(int argc, char** argv) {
  const agonic::field::Catalogue catalogue(agonic::field::built_in_texts());
  agonic::field::Peers peers;
  agonic::field::add_all(catalogue, peers);
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  return 0;
}
