// The sum over degree and order for vectors of places, and what follows from the components. Equation numbers are
// those of kernel.cpp. Included by kernel.cpp once for every kind of processor, hence no guard.

namespace agonic::field {
namespace HWY_NAMESPACE {
namespace {

// WGS84, National Imagery and Mapping Agency TR8350.2.
constexpr double kEquatorKm = 6378.137;
constexpr double kFlattening = 1 / 298.257223563;
constexpr double kEccentricity2 = kFlattening * (2 - kFlattening);

// Where places lie for the sum, and how their geocentric axes turn into geodetic ones (by phi' - phi).
struct Spot {
  VD q, t, u;
  SinCos turn;
};

HWY_INLINE Spot spot(double radius_km, VD lat_deg, VD height_m) {
  // (1 - z)^(-1/2) by the binomial series: z < 0.0067, so that the eighth power is below the last place.
  constexpr double kBinomial[] = {1, 1 / 2.0, 3 / 8.0, 5 / 16.0, 35 / 128.0, 63 / 256.0, 231 / 1024.0, 429 / 2048.0};
  const SinCos lat = sincos_deg(lat_deg);
  const VD height = height_m * set(0.001);
  const VD normal = set(kEquatorKm) * polynomial(set(kEccentricity2) * lat.sin * lat.sin, kBinomial);
  const VD across = (normal + height) * lat.cos;
  const VD along = fma(normal, set(1 - kEccentricity2), height) * lat.sin;
  const VD inverse = set(1) / hn::Sqrt(fma(across, across, along * along));
  const VD sin_geocentric = along * inverse;
  const VD cos_geocentric = across * inverse;
  const VD q = set(radius_km) * inverse;
  return {q,
          q * sin_geocentric,
          q * cos_geocentric,
          {hn::MulSub(sin_geocentric, lat.cos, cos_geocentric * lat.sin),
           fma(cos_geocentric, lat.cos, sin_geocentric * lat.sin)}};
}

// One family of equal order m at a time: `steps` terms of recursion (4) for V vectors of places at once, and the sums
// of equation (7) for each of `Parts` fields: 1 sum for order 0, 7 for order 1 (E is the last), else 6. The sums P go
// with the w after that of the step. `Sets` consecutive coefficient sets, each a part.
template <std::size_t Sets>
struct SetStream {
  static constexpr std::size_t kParts = Sets;
  const double* constant;
  const double* value[Sets];

  SetStream(const CoefficientSet& model, const TimePiece& piece) : constant(model.prepared.constants.data()) {
    for (std::size_t k = 0; k < Sets; ++k) value[k] = model.prepared.sets[piece.first + k].data();
  }

  template <std::size_t Values, std::size_t V>
  HWY_INLINE void family(int /*order*/, int steps, const VD (&t)[V], const VD (&q2)[V], VD (&sum)[V][Sets][Values]) {
    // The first step, where w is 1 and the next one is t.
    VD w[V];
    VD before[V];  // q^2 times the w before
    ++constant;
    AGONIC_UNROLL for (std::size_t j = 0; j < V; ++j) {
      w[j] = t[j];
      before[j] = q2[j];
    }
    AGONIC_UNROLL for (std::size_t k = 0; k < Sets; ++k) {
      AGONIC_UNROLL for (std::size_t v = 0; v < Values; ++v) {
        const VD factor = set(value[k][v]);
        AGONIC_UNROLL for (std::size_t j = 0; j < V; ++j) sum[j][k][v] = v == 4 || v == 5 ? factor * t[j] : factor;
      }
      value[k] += Values;
    }
    for (int step = 1; step < steps; ++step) {
      VD next[V];
      const VD c = set(*constant++);
      AGONIC_UNROLL for (std::size_t j = 0; j < V; ++j) next[j] = hn::MulSub(t[j], w[j], c * before[j]);
      AGONIC_UNROLL for (std::size_t k = 0; k < Sets; ++k) {
        AGONIC_UNROLL for (std::size_t v = 0; v < Values; ++v) {
          const VD factor = set(value[k][v]);
          AGONIC_UNROLL for (std::size_t j = 0; j < V; ++j) {
            sum[j][k][v] = fma(factor, v == 4 || v == 5 ? next[j] : w[j], sum[j][k][v]);
          }
        }
        value[k] += Values;
      }
      AGONIC_UNROLL for (std::size_t j = 0; j < V; ++j) {
        before[j] = q2[j] * w[j];
        w[j] = next[j];
      }
    }
  }
};

// The same for splines: each coefficient is a cubic of the date, which every lane works out for itself. That costs as
// much as summing the four sets apart when the change is wanted, much less when it is not, and half of the loads.
// Parts: 1 main field, 2 with the yearly change.
template <std::size_t Parts>
struct CubicStream {
  static constexpr std::size_t kParts = Parts;
  const double* constant;
  const double* value;
  VD years;  // since the origin of the piece

  CubicStream(const CoefficientSet& model, const TimePiece& piece, VD year)
      : constant(model.prepared.constants.data()),
        value(model.prepared.cubics[static_cast<std::size_t>(&piece - model.prepared.pieces.data())].data()),
        years(year - set(piece.origin)) {}

  // Value and derivative of the next cubic, by Horner's rule.
  HWY_INLINE void next_cubic(VD (&out)[Parts]) {
    const VD c3 = set(value[3]);
    const VD s = fma(c3, years, set(value[2]));
    const VD r = fma(s, years, set(value[1]));
    out[0] = fma(r, years, set(value[0]));
    if constexpr (Parts == 2) out[1] = fma(fma(c3, years, s), years, r);
    value += 4;
  }

  // The terms of one n. The first of a family starts the sums; there w is 1.
  template <bool First, std::size_t Values>
  HWY_INLINE void add_terms(VD w, VD next, VD (&sum)[Parts][Values]) {
    VD g[Parts];
    if constexpr (Values == 1) {
      next_cubic(g);
      AGONIC_UNROLL for (std::size_t k = 0; k < Parts; ++k) sum[k][0] = First ? g[k] : fma(g[k], w, sum[k][0]);
    } else {
      const VD of_n = First ? set(value[0]) : w * set(value[0]);
      const VD of_next = next * set(value[1]);
      value += 2;
      VD h[Parts];
      next_cubic(g);
      next_cubic(h);
      AGONIC_UNROLL for (std::size_t k = 0; k < Parts; ++k) {
        VD* const to = sum[k];
        to[0] = First ? g[k] : fma(g[k], w, to[0]);
        to[1] = First ? h[k] : fma(h[k], w, to[1]);
        to[2] = First ? g[k] * of_n : fma(g[k], of_n, to[2]);
        to[3] = First ? h[k] * of_n : fma(h[k], of_n, to[3]);
        to[4] = First ? g[k] * of_next : fma(g[k], of_next, to[4]);
        to[5] = First ? h[k] * of_next : fma(h[k], of_next, to[5]);
      }
      if constexpr (Values == 7) {
        next_cubic(g);
        AGONIC_UNROLL for (std::size_t k = 0; k < Parts; ++k) sum[k][6] = First ? g[k] : fma(g[k], w, sum[k][6]);
      }
    }
  }

  template <std::size_t Values>
  HWY_INLINE void family(int order, int steps, const VD (&t)[1], const VD (&q2)[1], VD (&sum)[1][Parts][Values]) {
    ++constant;
    add_terms<true>(set(1), t[0], sum[0]);
    VD w = t[0];
    VD before = q2[0];  // q^2 times the w before
    for (int step = 1; step < steps; ++step) {
      const VD next = hn::MulSub(t[0], w, set(*constant++) * before);
      add_terms<false>(w, next, sum[0]);
      before = q2[0] * w;
      w = next;
    }
    if constexpr (Values > 1) {
      const VD m = set(order);
      AGONIC_UNROLL for (std::size_t k = 0; k < Parts; ++k) {
        sum[0][k][0] = m * sum[0][k][0];
        sum[0][k][1] = m * sum[0][k][1];
      }
    }
  }
};

struct Vector {
  VD north, east, down;
};

// Equations (10) to (12): the geocentric components of each part of the stream, for V vectors of places.
template <std::size_t V, class Stream>
HWY_INLINE void sum_orders(Stream in, int degree, const Spot* at, const SinCos* longitude,
                           Vector (&out)[V][Stream::kParts]) {
  constexpr std::size_t Parts = Stream::kParts;
  VD t[V];
  VD q2[V];
  VD re[V];
  VD im[V];
  VD zonal[V][Parts][1];
  VD one[V][Parts][7];
  for (std::size_t j = 0; j < V; ++j) {
    t[j] = at[j].t;
    q2[j] = at[j].q * at[j].q;
    re[j] = longitude[j].cos;
    im[j] = longitude[j].sin;
  }
  in.family(0, degree + 1, t, q2, zonal);
  in.family(1, degree, t, q2, one);
  VD p[V][Parts];
  VD r[V][Parts];
  VD east[V][Parts];
  AGONIC_UNROLL for (std::size_t j = 0; j < V; ++j) {
    AGONIC_UNROLL for (std::size_t k = 0; k < Parts; ++k) {
      const VD* s = one[j][k];
      p[j][k] = fma(s[5], im[j], s[4] * re[j]);
      r[j][k] = fma(s[3], im[j], s[2] * re[j]);
      east[j][k] = hn::MulSub(s[0], im[j], s[1] * re[j]);
    }
  }
  for (int m = 2; m <= degree; ++m) {
    VD sum[V][Parts][6];
    in.family(m, degree + 1 - m, t, q2, sum);
    AGONIC_UNROLL for (std::size_t j = 0; j < V; ++j) {
      const VD step_re = at[j].u * longitude[j].cos;
      const VD step_im = at[j].u * longitude[j].sin;
      const VD turned = hn::MulSub(re[j], step_re, im[j] * step_im);
      im[j] = fma(re[j], step_im, im[j] * step_re);
      re[j] = turned;
      AGONIC_UNROLL for (std::size_t k = 0; k < Parts; ++k) {
        const VD* s = sum[j][k];
        p[j][k] = fma(s[5], im[j], fma(s[4], re[j], p[j][k]));
        r[j][k] = fma(s[3], im[j], fma(s[2], re[j], r[j][k]));
        east[j][k] = hn::NegMulAdd(s[1], re[j], fma(s[0], im[j], east[j][k]));
      }
    }
  }
  for (std::size_t j = 0; j < V; ++j) {
    for (std::size_t k = 0; k < Parts; ++k) {
      const VD north = fma(at[j].u, one[j][k][6], fma(t[j], r[j][k], p[j][k]));
      const VD down = fma(at[j].u, r[j][k], zonal[j][k][0]);
      out[j][k] = {hn::Neg(q2[j] * north), q2[j] * at[j].q * east[j][k], hn::Neg(q2[j] * down)};
    }
  }
}

// The weights of equation (13) at dates within a piece.
struct Weights {
  VD weight[4];
  VD rate[4];
};
template <std::size_t Sets>
HWY_INLINE Weights weights(const TimePiece& piece, VD year) {
  Weights w;
  const VD x = year - set(piece.origin);
  for (std::size_t k = 0; k < Sets; ++k) {
    const auto& c = piece.power[k];
    if constexpr (Sets <= 2) {
      w.weight[k] = fma(set(c[1]), x, set(c[0]));
      w.rate[k] = set(c[1]);
    } else {
      w.weight[k] = fma(fma(fma(set(c[3]), x, set(c[2])), x, set(c[1])), x, set(c[0]));
      w.rate[k] = fma(fma(set(3 * c[3]), x, set(2 * c[2])), x, set(c[1]));
    }
  }
  return w;
}

template <std::size_t Sets>
HWY_INLINE Vector weighted(const Vector (&sets)[Sets], const VD (&weight)[4]) {
  Vector v{sets[0].north * weight[0], sets[0].east * weight[0], sets[0].down * weight[0]};
  for (std::size_t k = 1; k < Sets; ++k) {
    v = {fma(sets[k].north, weight[k], v.north), fma(sets[k].east, weight[k], v.east),
         fma(sets[k].down, weight[k], v.down)};
  }
  return v;
}

HWY_INLINE Vector turned(const Vector& v, const SinCos& turn) {
  return {hn::MulSub(v.north, turn.cos, v.down * turn.sin), v.east, fma(v.north, turn.sin, v.down * turn.cos)};
}

// Declination, inclination, intensities and their changes: equations (14) and (15).
HWY_INLINE void elements_of(const Vector& v, const Vector& change, bool with_change, VD (&out)[kResults]) {
  // Where H is below this, the needle hangs upright: D and its change are 0. Its square must not underflow.
  constexpr double kUprightNt2 = 1e-280;
  const VD zero = hn::Zero(kTag);
  const VD one = set(1);
  const VD h2 = fma(v.north, v.north, v.east * v.east);
  const VD f2 = fma(v.down, v.down, h2);
  const VD h = hn::Sqrt(h2);
  const VD f = hn::Sqrt(f2);
  const auto upright = h2 < set(kUprightNt2);
  out[kHorizontal] = h;
  out[kTotal] = f;
  out[kDeclination] = hn::IfThenZeroElse(upright, atan2_deg(v.east, v.north));
  out[kInclination] = atan2_deg(v.down, h);
  if (!with_change) return;
  const auto nothing = f2 < set(kUprightNt2);
  const VD by_h = hn::IfThenElse(upright, one, h);
  const VD by_f = hn::IfThenElse(nothing, one, f);
  // One division for both.
  const VD inverse = one / (by_h * by_f);
  const VD inverse_h = by_f * inverse;
  const VD inverse_f = by_h * inverse;
  const VD along = fma(v.north, change.north, v.east * change.east);
  const VD across = hn::MulSub(v.north, change.east, v.east * change.north);
  const VD h_change =
      hn::IfThenElse(upright, hn::Sqrt(fma(change.north, change.north, change.east * change.east)), along * inverse_h);
  const VD steeper = hn::MulSub(h, change.down, v.down * h_change);
  const VD degrees = set(1 / kDegree);
  out[kHorizontalChange] = h_change;
  out[kTotalChange] = hn::IfThenZeroElse(nothing, fma(h, h_change, v.down * change.down) * inverse_f);
  out[kDeclinationChange] = hn::IfThenZeroElse(upright, across * inverse_h * inverse_h * degrees);
  out[kInclinationChange] = hn::IfThenElse(nothing, zero, steeper * inverse_f * inverse_f * degrees);
}

}  // namespace
}  // namespace HWY_NAMESPACE
}  // namespace agonic::field
