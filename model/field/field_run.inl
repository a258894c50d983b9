// From columns to columns: loads places, evaluates them V vectors at a time, stores what is wanted. Included by
// kernel.cpp once for every kind of processor, hence no guard.

namespace agonic::field {
namespace HWY_NAMESPACE {
namespace {

struct Wanted {
  bool change = false;
  bool elements = false;
};
HWY_INLINE Wanted wanted(const Columns& out) {
  Wanted w;
  for (std::size_t i = 0; i < kResults; ++i) {
    if (out[i].data == nullptr) continue;
    w.change |= (i >= kNorthChange && i <= kDownChange) || i >= kHorizontalChange;
    w.elements |= i >= kHorizontal;
  }
  return w;
}

HWY_INLINE void results_of(const Vector& main, const Vector& change, Wanted want, VD (&result)[kResults]) {
  result[kNorth] = main.north;
  result[kEast] = main.east;
  result[kDown] = main.down;
  if (want.change) {
    result[kNorthChange] = change.north;
    result[kEastChange] = change.east;
    result[kDownChange] = change.down;
  }
  if (want.elements) elements_of(main, change, want.change, result);
}

// Lanes 0 to size - 1 to the places `at`, `at` + 1 ... of the wanted columns.
HWY_INLINE void store(const VD (&result)[kResults], const Columns& out, std::size_t at, std::size_t size) {
  for (std::size_t i = 0; i < kResults; ++i) {
    if (out[i].data == nullptr) continue;
    const std::size_t stride = out[i].stride;
    if (stride == 1 && size == kLanes) {
      hn::StoreU(result[i], kTag, out[i].data + at);
      continue;
    }
    alignas(64) double lane[kLanes];
    hn::Store(result[i], kTag, lane);
    for (std::size_t k = 0; k < size; ++k) out[i].data[(at + k) * stride] = lane[k];
  }
}

// The column from `at` on. Lanes beyond its end repeat its last number: what is in them is computed and dropped.
HWY_INLINE VD load(std::span<const double> column, std::size_t at) {
  if (column.size() >= at + kLanes) return hn::LoadU(kTag, column.data() + at);
  alignas(64) double lane[kLanes];
  for (std::size_t k = 0; k < kLanes; ++k) lane[k] = column[at + k < column.size() ? at + k : column.size() - 1];
  return hn::Load(kTag, lane);
}

HWY_INLINE std::size_t lanes_from(std::size_t at, std::size_t size) { return size - at < kLanes ? size - at : kLanes; }

// The geocentric components and their yearly change by one, two or four coefficient sets, for V vectors of places from
// the `from`th of the run on.
template <std::size_t Sets, std::size_t V>
HWY_INLINE void sum_sets(const Run& run, std::size_t from, bool with_change, const Spot* at, const SinCos* longitude,
                         Vector* main, Vector* change) {
  const CoefficientSet& model = *run.model;
  const TimePiece& piece = *run.piece;
  if constexpr (Sets == 4) {
    static_assert(V == 1);
    const VD year = load(run.points.decimal_year, from);
    if (with_change) {
      Vector part[1][2];
      sum_orders<1>(CubicStream<2>(model, piece, year), model.degree, at, longitude, part);
      *main = part[0][0];
      *change = part[0][1];
    } else {
      Vector part[1][1];
      sum_orders<1>(CubicStream<1>(model, piece, year), model.degree, at, longitude, part);
      *main = part[0][0];
      *change = *main;  // not looked at
    }
  } else {
    Vector part[V][Sets];
    sum_orders<V>(SetStream<Sets>(model, piece), model.degree, at, longitude, part);
    for (std::size_t j = 0; j < V; ++j) {
      main[j] = part[j][0];
      change[j] = {hn::Zero(kTag), hn::Zero(kTag), hn::Zero(kTag)};
      if constexpr (Sets == 2) {
        const Weights w = weights<2>(piece, load(run.points.decimal_year, from + j * kLanes));
        main[j] = weighted(part[j], w.weight);
        change[j] = weighted(part[j], w.rate);
      }
    }
  }
}

// At most kTile vectors of places, from the `from`th of the run on, step by step for all of them: the long latencies
// of roots and divisions before and after the sum then overlap.
template <std::size_t Sets, std::size_t V>
HWY_NOINLINE void tile(const Run& run, Wanted want, std::size_t from) {
  const std::size_t left = (run.size - from + kLanes - 1) / kLanes;
  const std::size_t count = left < kTile ? left : kTile;
  const std::size_t padded = (count + V - 1) / V * V;
  Spot spots[kTile];
  SinCos longitude[kTile];
  Vector main[kTile];
  Vector change[kTile];
  for (std::size_t j = 0; j < padded; ++j) {
    const std::size_t at = from + j * kLanes;
    spots[j] = spot(run.model->radius_km, load(run.points.lat_deg, at), load(run.points.height_m, at));
    longitude[j] = sincos_deg(load(run.points.lon_deg, at));
  }
  for (std::size_t j = 0; j < padded; j += V) {
    sum_sets<Sets, V>(run, from + j * kLanes, want.change, spots + j, longitude + j, main + j, change + j);
  }
  for (std::size_t j = 0; j < count; ++j) {
    const std::size_t at = from + j * kLanes;
    VD result[kResults];
    results_of(turned(main[j], spots[j].turn), turned(change[j], spots[j].turn), want, result);
    store(result, *run.out, at, lanes_from(at, run.size));
  }
}

template <std::size_t Sets, std::size_t V>
HWY_INLINE void tiles(const Run& run, Wanted want) {
  if (V > 1 && run.size <= kLanes) return tile<Sets, 1>(run, want, 0);
  for (std::size_t at = 0; at < run.size; at += kTile * kLanes) tile<Sets, V>(run, want, at);
}

// At the start of a piece of two sets the first has weight 1 and the second 0: one sum, the same bits.
bool at_origin(const Run& run) {
  if (run.piece->count != 2) return false;
  for (const double year : run.points.decimal_year) {
    if (year != run.piece->origin) return false;
  }
  return true;
}

void evaluate_run(const Run& run) {
  const Wanted want = wanted(*run.out);
  if (run.piece->count == 1 || (!want.change && at_origin(run))) {
    tiles<1, kVectorsOfOneSet>(run, want);
  } else if (run.piece->count == 2) {
    if (run.model->degree >= kHighDegree) {
      tiles<2, kVectorsOfTwoSets>(run, want);
    } else {
      tiles<2, 1>(run, want);
    }
  } else {
    tiles<4, 1>(run, want);
  }
}

void evaluate_elements(std::span<const FieldVector> in, const Columns& out) {
  const Wanted want = wanted(out);
  for (std::size_t at = 0; at < in.size(); at += kLanes) {
    const std::size_t size = lanes_from(at, in.size());
    alignas(64) double lane[6][kLanes];
    for (std::size_t k = 0; k < kLanes; ++k) {
      const FieldVector& v = in[at + (k < size ? k : 0)];
      lane[0][k] = v.north_nt;
      lane[1][k] = v.east_nt;
      lane[2][k] = v.down_nt;
      lane[3][k] = v.north_nt_per_year;
      lane[4][k] = v.east_nt_per_year;
      lane[5][k] = v.down_nt_per_year;
    }
    VD result[kResults];
    results_of({hn::Load(kTag, lane[0]), hn::Load(kTag, lane[1]), hn::Load(kTag, lane[2])},
               {hn::Load(kTag, lane[3]), hn::Load(kTag, lane[4]), hn::Load(kTag, lane[5])}, want, result);
    store(result, out, at, size);
  }
}

}  // namespace
}  // namespace HWY_NAMESPACE
}  // namespace agonic::field
