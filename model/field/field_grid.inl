// Grids: the sums over the degree once a circle of latitude, then the sum over the order at each longitude. Included
// by kernel.cpp once for every kind of processor, hence no guard.

namespace agonic::field {
namespace HWY_NAMESPACE {
namespace {

// What stands beside cos and sin (m lambda) in each geodetic component, for kLanes circles of latitude: per order
// {north, east, down} with the cosine, then with the sine, of the main field and then of the yearly change.
constexpr std::size_t kRowValues = 12;
using Rows = std::vector<double>;  // [order][value][lane]

template <std::size_t Sets>
HWY_INLINE void row_family(const VD (&sum)[Sets][6], const Spot& at, VD factor, const Weights& weight, double* to) {
  const VD q2 = at.q * at.q;
  Vector cosine[Sets];
  Vector sine[Sets];
  for (std::size_t k = 0; k < Sets; ++k) {
    const VD* s = sum[k];
    cosine[k] = {hn::Neg(fma(at.t, s[2], s[4])), hn::Neg(at.q * s[1]), hn::Neg(at.u * s[2])};
    sine[k] = {hn::Neg(fma(at.t, s[3], s[5])), at.q * s[0], hn::Neg(at.u * s[3])};
  }
  const VD scale = q2 * factor;
  for (std::size_t part = 0; part < 2; ++part) {
    const auto& by = part == 0 ? weight.weight : weight.rate;
    const Vector c = turned(weighted(cosine, by), at.turn);
    const Vector s = turned(weighted(sine, by), at.turn);
    const VD values[6] = {c.north * scale, c.east * scale, c.down * scale,
                          s.north * scale, s.east * scale, s.down * scale};
    for (std::size_t v = 0; v < 6; ++v) hn::StoreU(values[v], kTag, to + (part * 6 + v) * kLanes);
  }
}

template <std::size_t Sets>
HWY_NOINLINE void rows(const GridRun& run, VD lat_deg, Rows& out) {
  const CoefficientSet& model = *run.model;
  const Spot at = spot(model.radius_km, lat_deg, set(run.height_m));
  const Weights weight = weights<Sets>(*run.piece, set(run.decimal_year));
  const VD t[1] = {at.t};
  const VD q2[1] = {at.q * at.q};
  SetStream<Sets> in(model, *run.piece);
  VD zonal[1][Sets][1];
  VD one[1][Sets][7];
  in.family(0, model.degree + 1, t, q2, zonal);
  in.family(1, model.degree, t, q2, one);
  // Order 0 has no sine: equations (10) and (12) without their sums over m, as if s4 = u E and u s2 = A.
  VD sum[Sets][6];
  Vector axial[Sets];
  for (std::size_t k = 0; k < Sets; ++k) {
    axial[k] = {hn::Neg(q2[0] * at.u * one[0][k][6]), hn::Zero(kTag), hn::Neg(q2[0] * zonal[0][k][0])};
    for (std::size_t v = 0; v < 6; ++v) sum[k][v] = one[0][k][v];
  }
  double* to = out.data();
  for (std::size_t part = 0; part < 2; ++part) {
    const Vector v = turned(weighted(axial, part == 0 ? weight.weight : weight.rate), at.turn);
    hn::StoreU(v.north, kTag, to + (part * 6) * kLanes);
    hn::StoreU(v.east, kTag, to + (part * 6 + 1) * kLanes);
    hn::StoreU(v.down, kTag, to + (part * 6 + 2) * kLanes);
  }
  VD power = set(1);  // u^(m-1)
  row_family<Sets>(sum, at, power, weight, to += kRowValues * kLanes);
  for (int m = 2; m <= model.degree; ++m) {
    VD family[1][Sets][6];
    in.family(m, model.degree + 1 - m, t, q2, family);
    power = power * at.u;
    row_family<Sets>(family[0], at, power, weight, to += kRowValues * kLanes);
  }
}

// `Count` circles from the `lane`th on, at one vector of longitudes; Parts: 1 main field, 2 with the yearly change.
template <std::size_t Parts, std::size_t Count>
HWY_INLINE void along_circles(int degree, const Rows& rows, std::size_t lane, const SinCos& longitude,
                              VD (&sum)[Count][Parts][3]) {
  const double* row = rows.data() + lane;
  AGONIC_UNROLL for (std::size_t r = 0; r < Count; ++r) {
    AGONIC_UNROLL for (std::size_t p = 0; p < Parts; ++p) {
      AGONIC_UNROLL for (std::size_t v = 0; v < 3; ++v) sum[r][p][v] = set(row[(p * 6 + v) * kLanes + r]);
    }
  }
  VD re = longitude.cos;
  VD im = longitude.sin;
  for (int m = 1; m <= degree; ++m) {
    row += kRowValues * kLanes;
    AGONIC_UNROLL for (std::size_t r = 0; r < Count; ++r) {
      AGONIC_UNROLL for (std::size_t p = 0; p < Parts; ++p) {
        AGONIC_UNROLL for (std::size_t v = 0; v < 3; ++v) {
          const double* c = row + (p * 6 + v) * kLanes + r;
          sum[r][p][v] = fma(set(c[3 * kLanes]), im, fma(set(*c), re, sum[r][p][v]));
        }
      }
    }
    const VD stepped = hn::MulSub(re, longitude.cos, im * longitude.sin);
    im = fma(re, longitude.sin, im * longitude.cos);
    re = stepped;
  }
}

template <std::size_t Parts>
HWY_NOINLINE void circles(const GridRun& run, const Rows& rows, std::size_t first_row, std::size_t count, Wanted want) {
  constexpr std::size_t kTogether = kLanes < kCirclesAtOnce ? kLanes : kCirclesAtOnce;
  for (std::size_t at = 0; at < run.lon_deg.size(); at += kLanes) {
    const std::size_t size = lanes_from(at, run.lon_deg.size());
    const SinCos longitude = sincos_deg(load(run.lon_deg, at));
    for (std::size_t lane = 0; lane < count; lane += kTogether) {
      VD sum[kTogether][Parts][3];
      along_circles<Parts, kTogether>(run.model->degree, rows, lane, longitude, sum);
      for (std::size_t r = 0; r < kTogether && lane + r < count; ++r) {
        const auto& of = sum[r];
        VD result[kResults];
        results_of({of[0][0], of[0][1], of[0][2]}, {of[Parts - 1][0], of[Parts - 1][1], of[Parts - 1][2]}, want,
                   result);
        store(result, *run.out, (first_row + lane + r) * run.lon_deg.size() + at, size);
      }
    }
  }
}

void evaluate_circles(const GridRun& run) {
  const Wanted want = wanted(*run.out);
  Rows sums((static_cast<std::size_t>(run.model->degree) + 1) * kRowValues * kLanes);
  for (std::size_t row = 0; row < run.lat_deg.size(); row += kLanes) {
    const std::size_t count = lanes_from(row, run.lat_deg.size());
    const VD lat_deg = load(run.lat_deg, row);
    if (run.piece->count == 1) {
      rows<1>(run, lat_deg, sums);
    } else if (run.piece->count == 2) {
      rows<2>(run, lat_deg, sums);
    } else {
      rows<4>(run, lat_deg, sums);
    }
    if (want.change) {
      circles<2>(run, sums, row, count, want);
    } else {
      circles<1>(run, sums, row, count, want);
    }
  }
}

}  // namespace
}  // namespace HWY_NAMESPACE
}  // namespace agonic::field
