// The sum over degree and order, from geodetic place to geodetic components.
//
// Notation: a reference radius, r and phi' geocentric radius and latitude, lambda longitude, phi geodetic latitude,
// h height; q = a/r, t = q sin phi', u = q cos phi'. S(n,m) is the Schmidt semi-normalised function of sin phi'.
// The potential (Winch et al. 2005) is
//   (1) V = a sum q^(n+1) [g(n,m) cos m lambda + h(n,m) sin m lambda] S(n,m)(sin phi')
// and the field is B = -grad V.
//
// A monic recursion. Write S(n,m) = s(n,m) cos^m phi' p(n,m)(sin phi') with p monic of degree n - m. From the
// recurrence of the associated Legendre functions, (n-m) P(n,m) = (2n-1) x P(n-1,m) - (n+m-1) P(n-2,m), and the
// ratio (2n-1)/(n-m) of their leading coefficients:
//   (2) p(m,m) = 1,  p(n,m) = x p(n-1,m) - c(n,m) p(n-2,m),   c(n,m) = ((n-1)^2 - m^2) / ((2n-3)(2n-1))
//   (3) s(0,0) = s(1,1) = 1,  s(m,m) = s(m-1,m-1) sqrt((2m-1)/(2m)),  s(n,m) = s(n-1,m) (2n-1)/sqrt(n^2 - m^2)
// With w(n,m) = q^(n-m) p(n,m) the radius is folded in:
//   (4) w(m,m) = 1,  w(n,m) = t w(n-1,m) - c(n,m) q^2 w(n-2,m),   q^n S(n,m) = s(n,m) u^m w(n,m)
//
// Latitude derivative. (1 - x^2) dP(n,m)/dx = (n+1) x P(n,m) - (n-m+1) P(n+1,m) becomes
//   (5) dS(n,m)/dphi' = s(n,m) cos^(m-1) phi' [ (n+1) sin phi' p(n,m) - (2n+1) p(n+1,m) ]
// which for m >= 1 has no division, and whose p(n+1,m) the recursion has at hand. For m = 0, dP(n,0)/dphi' = P(n,1),
// and S(n,1) = P(n,1) / sqrt(n(n+1)/2):
//   (6) dS(n,0)/dphi' = sqrt(n(n+1)/2) s(n,1) cos phi' p(n,1)
// so that it is summed in the family m = 1. Nothing is left that is divided by cos phi'.
//
// Sums. With e(m) = u^(m-1) exp(i m lambda), one complex power by recurrence, and for each m >= 1
//   (7) A = sum m G(n) w(n,m),  B = sum (n+1) G(n) w(n,m),  P = sum -(2n+1) G(n) w(n+1,m)
//   (8) G(n) = s(n,m) g(n,m), and the same with h(n,m); for m = 0 only B is needed
//   (9) E = sum sqrt(n(n+1)/2) s(n,1) g(n,0) w(n,1)
// the components along geocentric north, east, down are (B0 is the sum for m = 0)
//   (10) X' = -q^2 { u E + sum over m of (t Bg + Pg) Re e + (t Bh + Ph) Im e }
//   (11) Y' =  q^3 { sum over m of Ag Im e - Ah Re e }
//   (12) Z' = -q^2 { B0 + u sum over m of Bg Re e + Bh Im e }
//
// Time. The field is linear in the coefficients, so each point sums the one, two or four coefficient sets that its
// date needs in one pass: main field and yearly change together, for every time behaviour, with the weights v(k) of
// the sets k, polynomials of the date (TimePiece),
//   (13) B = sum v(k) B(k),  dB/dtime = sum v'(k) B(k)
// For splines the sum over k is taken in each coefficient instead, which is then a cubic of the date (prepare.cpp).
// Points of piecewise and spline models are sorted by piece first, so that those of one vector use the same sets. No
// result depends on which points share a call or a vector.
//
// Elements, as in the World Magnetic Model technical reports (doi:10.25923/ytk1-yx35):
//   (14) H^2 = X^2 + Y^2,  F^2 = H^2 + Z^2,  tan D = Y/X,  tan I = Z/H
//   (15) dH = (X dX + Y dY)/H,  dF = (H dH + Z dZ)/F,  dD = (X dY - Y dX)/H^2,  dI = (H dZ - Z dH)/F^2
//
// Processors. This file is compiled once for every kind of processor by Highway's foreach_target.h, always from the
// same source: the width of a vector comes from the tag. Products and sums are fused only where the source says so
// (MulAdd) and the processor can; hence results of two kinds differ by rounding, never by more than kAcrossCpus.

#include "model/field/kernel.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cassert>
#include <memory>
#include <numeric>
#include <vector>

#include "model/field/cpu.hpp"
#include "model/units/angle.hpp"

// Vectors without a fixed size cannot stand in arrays; the WebAssembly one has no double precision in this version;
// what SSSE3 lacks of SSE4 is not worth a copy. Where a kind is left out, the next plainer one serves.
#define HWY_DISABLED_TARGETS (HWY_SVE | HWY_SVE2 | HWY_SVE_256 | HWY_SVE2_128 | HWY_RVV | HWY_WASM | HWY_SSSE3)
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "model/field/kernel.cpp"
#include <hwy/foreach_target.h>
#include <hwy/highway.h>

// The loops over small arrays of vectors must be unrolled, or the arrays stay in memory.
#undef AGONIC_UNROLL
#define AGONIC_UNROLL _Pragma("GCC unroll 16")

HWY_BEFORE_NAMESPACE();
namespace agonic::field {
namespace HWY_NAMESPACE {
namespace {
// How much fits into the registers: 32 with AVX-512 and NEON, 16 before.
#if HWY_TARGET == HWY_AVX3 || HWY_TARGET == HWY_NEON
constexpr std::size_t kVectorsOfTwoSets = 2;
constexpr std::size_t kCirclesAtOnce = 4;
#else
constexpr std::size_t kVectorsOfTwoSets = 1;
constexpr std::size_t kCirclesAtOnce = 2;
#endif
constexpr std::size_t kVectorsOfOneSet = 2;
// From here on two vectors of two sets are the faster, where there are registers: fewer ends of loops.
constexpr int kHighDegree = 40;
// Vectors that are worked on side by side.
constexpr std::size_t kTile = 8;
}  // namespace
}  // namespace HWY_NAMESPACE
}  // namespace agonic::field
// In the order of use.
// clang-format off
#include "model/field/vector_math.inl"
#include "model/field/field_sum.inl"
#include "model/field/field_run.inl"
#include "model/field/field_grid.inl"
// clang-format on
namespace agonic::field {
namespace HWY_NAMESPACE {
// What this kind of processor offers.
[[maybe_unused]] constexpr Kernel kKernel{HWY_TARGET == HWY_AVX3   ? "avx512"
                                          : HWY_TARGET == HWY_AVX2 ? "avx2"
                                          : HWY_TARGET == HWY_SSE4 ? "sse4"
                                          : HWY_TARGET == HWY_NEON ? "neon"
                                                                   : "baseline",
                                          &evaluate_run, &evaluate_circles, &evaluate_elements};
}  // namespace HWY_NAMESPACE
}  // namespace agonic::field
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace agonic::field {
namespace {

// Sorted by piece this many at a time: long runs, of which the last vector is rarely full, yet a column of them stays
// in the nearest caches.
constexpr std::size_t kChunk = 8192;

// All kinds that were compiled, the best first, as far as the machine can run them.
std::vector<Kernel> usable_kernels() {
  const auto supported = hwy::SupportedTargets();
  std::vector<Kernel> usable;
#if HWY_TARGETS & HWY_AVX3
  if (supported & HWY_AVX3) usable.push_back(N_AVX3::kKernel);
#endif
#if HWY_TARGETS & HWY_AVX2
  if (supported & HWY_AVX2) usable.push_back(N_AVX2::kKernel);
#endif
#if HWY_TARGETS & HWY_SSE4
  if (supported & HWY_SSE4) usable.push_back(N_SSE4::kKernel);
#endif
#if HWY_TARGETS & HWY_NEON
  if (supported & HWY_NEON) usable.push_back(N_NEON::kKernel);
#endif
#if HWY_TARGETS & HWY_EMU128
  usable.push_back(N_EMU128::kKernel);
#endif
#if HWY_TARGETS & HWY_SCALAR
  usable.push_back(N_SCALAR::kKernel);
#endif
  return usable;
}

const std::vector<Kernel>& all_kernels() {
  static const std::vector<Kernel> kernels = usable_kernels();
  return kernels;
}

std::atomic<const Kernel*> chosen{nullptr};

// Points of a model of several pieces, sorted by piece (counting sort), evaluated run by run, and put back.
class Sorter {
 public:
  Sorter(const CoefficientSet& model, std::size_t most, const Columns& out)
      : model_(model), out_(out), piece_(most), rank_(most), begin_(model.prepared.pieces.size() + 1), most_(most) {
    std::size_t columns = kInputs;
    for (std::size_t c = 0; c < kResults; ++c) {
      if (out[c].data != nullptr) slot_[c] = columns++;
    }
    scratch_ = std::make_unique_for_overwrite<double[]>(columns * most_);
  }

  void evaluate(const Points& points, std::size_t from, std::size_t size) {
    sort(points, from, size);
    for (std::size_t k = 0; k + 1 < begin_.size(); ++k) run(k);
    for (std::size_t c = 0; c < kResults; ++c) {
      if (out_[c].data == nullptr) continue;
      const double* sorted = scratch_.get() + slot_[c] * most_;
      const std::size_t stride = out_[c].stride;
      double* column = out_[c].data + from * stride;
      AGONIC_UNROLL for (std::size_t i = 0; i < size; ++i) column[i * stride] = sorted[rank_[i]];
    }
  }

 private:
  static constexpr std::size_t kInputs = 4;

  // Finds where the pieces begin and where each point stands when sorted, and copies the points there.
  void sort(const Points& points, std::size_t from, std::size_t size) {
    const std::span<std::uint32_t> piece(piece_.data(), size);
    model_.pieces_of(points.decimal_year.subspan(from, size), piece);
    std::fill(begin_.begin(), begin_.end(), 0);
    for (const std::uint32_t k : piece) ++begin_[k + 1];
    std::partial_sum(begin_.begin(), begin_.end(), begin_.begin());
    std::vector<std::uint32_t> next(begin_.begin(), begin_.end() - 1);
    const double* lat = &points.lat_deg[from];
    const double* lon = &points.lon_deg[from];
    const double* height = &points.height_m[from];
    const double* year = &points.decimal_year[from];
    double* sorted = scratch_.get();
    for (std::size_t i = 0; i < size; ++i) {
      const std::uint32_t to = next[piece[i]]++;
      rank_[i] = to;
      sorted[to] = lat[i];
      sorted[most_ + to] = lon[i];
      sorted[2 * most_ + to] = height[i];
      sorted[3 * most_ + to] = year[i];
    }
  }

  void run(std::size_t piece) {
    const std::size_t begin = begin_[piece];
    const std::size_t size = begin_[piece + 1] - begin;
    if (size == 0) return;
    const auto input = [&](std::size_t c) { return std::span<const double>(&scratch_[c * most_ + begin], size); };
    Columns to;
    for (std::size_t c = 0; c < kResults; ++c) {
      if (out_[c].data != nullptr) to[c].data = &scratch_[slot_[c] * most_ + begin];
    }
    kernel().run({&model_, &model_.prepared.pieces[piece], {input(0), input(1), input(2), input(3)}, size, &to});
  }

  const CoefficientSet& model_;
  const Columns& out_;
  std::vector<std::uint32_t> piece_, rank_, begin_;
  std::size_t most_;
  std::array<std::size_t, kResults> slot_{};
  std::unique_ptr<double[]> scratch_;  // the sorted inputs, then the wanted results, `most_` each
};

void evaluate_all(const CoefficientSet& model, const Points& points, const Columns& out) {
  const std::size_t size = points.lat_deg.size();
  assert(points.lon_deg.size() == size && points.height_m.size() == size && points.decimal_year.size() == size);
  assert(model.prepared.sets.size() == model.sets.size());
  const std::vector<TimePiece>& pieces = model.prepared.pieces;
  if (size == 0) return;
  if (pieces.size() == 1 || size == 1) {
    kernel().run({&model, &pieces[model.piece_of(points.decimal_year[0])], points, size, &out});
    return;
  }
  const std::size_t most = std::min(kChunk, size);
  Sorter sorter(model, most, out);
  for (std::size_t from = 0; from < size; from += most) sorter.evaluate(points, from, std::min(most, size - from));
}

// The members of a row of structures as columns. Both structures hold nothing but numbers, in this order.
constexpr std::size_t kVectorNumbers = 6;
constexpr std::size_t kElementNumbers = 8;
static_assert(sizeof(FieldVector) == kVectorNumbers * sizeof(double));
static_assert(sizeof(Elements) == kElementNumbers * sizeof(double));

void put_vectors(Columns& out, std::span<FieldVector> to) {
  if (to.empty()) return;
  FieldVector& v = to.front();
  const std::array<double*, kVectorNumbers> member{&v.north_nt,          &v.east_nt,          &v.down_nt,
                                                   &v.north_nt_per_year, &v.east_nt_per_year, &v.down_nt_per_year};
  for (std::size_t i = 0; i < kVectorNumbers; ++i) out[kNorth + i] = {member[i], kVectorNumbers};
}

void put_elements(Columns& out, std::span<Elements> to) {
  if (to.empty()) return;
  Elements& e = to.front();
  const std::array<double*, kElementNumbers> member{
      &e.horizontal_nt,          &e.total_nt,          &e.declination_deg,          &e.inclination_deg,
      &e.horizontal_nt_per_year, &e.total_nt_per_year, &e.declination_deg_per_year, &e.inclination_deg_per_year};
  for (std::size_t i = 0; i < kElementNumbers; ++i) out[kHorizontal + i] = {member[i], kElementNumbers};
}

Columns columns(const FieldColumns& c, [[maybe_unused]] std::size_t size) {
  const std::array<std::span<double>, kResults> spans{c.north_nt,
                                                      c.east_nt,
                                                      c.down_nt,
                                                      c.north_nt_per_year,
                                                      c.east_nt_per_year,
                                                      c.down_nt_per_year,
                                                      c.horizontal_nt,
                                                      c.total_nt,
                                                      c.declination_deg,
                                                      c.inclination_deg,
                                                      c.horizontal_nt_per_year,
                                                      c.total_nt_per_year,
                                                      c.declination_deg_per_year,
                                                      c.inclination_deg_per_year};
  Columns out;
  for (std::size_t i = 0; i < kResults; ++i) {
    assert(spans[i].empty() || spans[i].size() == size);
    if (!spans[i].empty()) out[i].data = spans[i].data();
  }
  return out;
}

}  // namespace

const Kernel& kernel() noexcept {
  const Kernel* known = chosen.load(std::memory_order_acquire);
  return known != nullptr ? *known : all_kernels().front();
}

std::string_view cpu_name() noexcept { return kernel().name; }

std::vector<std::string_view> cpu_names() {
  std::vector<std::string_view> names;
  for (const Kernel& k : all_kernels()) names.push_back(k.name);
  return names;
}

Result<std::string_view> force_cpu(std::string_view name, std::string_view field) {
  for (const Kernel& k : all_kernels()) {
    if (!name.empty() && k.name != name) continue;
    chosen.store(&k, std::memory_order_release);
    return k.name;
  }
  std::string known;
  for (const Kernel& k : all_kernels()) known.append(known.empty() ? "" : ", ").append(k.name);
  return Problem{Code::unknown_name, std::string(field), std::string(name), "not a kind of processor this machine has",
                 "Known here are " + known + "."};
}

void evaluate_columns(const CoefficientSet& model, const Points& points, const FieldColumns& out) {
  evaluate_all(model, points, columns(out, points.lat_deg.size()));
}

void evaluate(const CoefficientSet& model, const Points& points, std::span<FieldVector> out) {
  evaluate(model, points, out, {});
}

void evaluate(const CoefficientSet& model, const Points& points, std::span<FieldVector> vectors,
              std::span<Elements> elements) {
  assert(vectors.size() == points.lat_deg.size() || vectors.empty());
  assert(elements.size() == points.lat_deg.size() || elements.empty());
  Columns out;
  put_vectors(out, vectors);
  put_elements(out, elements);
  evaluate_all(model, points, out);
}

FieldVector evaluate(const CoefficientSet& model, double lat_deg, double lon_deg, double height_m,
                     double decimal_year) {
  FieldVector out;
  evaluate(model, {{&lat_deg, 1}, {&lon_deg, 1}, {&height_m, 1}, {&decimal_year, 1}}, {&out, 1});
  return out;
}

void evaluate_grid(const CoefficientSet& model, std::span<const double> lat_deg, std::span<const double> lon_deg,
                   double height_m, double decimal_year, const FieldColumns& out) {
  const Columns to = columns(out, lat_deg.size() * lon_deg.size());
  assert(model.prepared.sets.size() == model.sets.size());
  const TimePiece& piece = model.prepared.pieces[model.piece_of(decimal_year)];
  kernel().grid({&model, &piece, lat_deg, lon_deg, height_m, decimal_year, &to});
}

void elements(std::span<const FieldVector> vectors, std::span<Elements> out) {
  assert(vectors.size() == out.size());
  Columns to;
  put_elements(to, out);
  kernel().elements(vectors, to);
}

Elements elements(const FieldVector& vector) {
  Elements e;
  elements({&vector, 1}, {&e, 1});
  return e;
}

}  // namespace agonic::field
#endif  // HWY_ONCE
