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
// Latitude derivative. (1 - x^2) dP(n,m)/dx = (n+m) P(n-1,m) - n x P(n,m) becomes
//   (5) dS(n,m)/dphi' = s(n,m) cos^(m-1) phi' [ (n^2 - m^2)/(2n-1) p(n-1,m) - n sin phi' p(n,m) ]
// which for m >= 1 has no division. For m = 0, dP(n,0)/dphi' = P(n,1), and S(n,1) = P(n,1) / sqrt(n(n+1)/2):
//   (6) dS(n,0)/dphi' = sqrt(n(n+1)/2) s(n,1) cos phi' p(n,1)
// so that it is summed in the family m = 1. Nothing is left that is divided by cos phi'.
//
// Sums. With e(m) = u^(m-1) exp(i m lambda), one complex power by recurrence, and for each m >= 1
//   (7) A = sum G w,  B = sum n G w,  C = sum D w     once with g and once with h
//   (8) G(n) = s(n,m) g(n,m),   D(n) = s(n+1,m) ((n+1)^2 - m^2)/(2n+1) g(n+1,m)     (shifted onto w(n,m))
//   (9) E = sum sqrt(n(n+1)/2) s(n,1) g(n,0) w(n,1)
// the components along geocentric north, east, down are (A0, B0 are the sums for m = 0)
//   (10) X' = -q^2 { u E + sum over m of (q^2 Cg - t Bg) Re e + (q^2 Ch - t Bh) Im e }
//   (11) Y' =  q^2 { sum over m of m q (Ag Im e - Ah Re e) }
//   (12) Z' = -q^2 { A0 + B0 + sum over m of u [(Ag + Bg) Re e + (Ah + Bh) Im e] }
//
// Time. The field is linear in the coefficients, so each point sums the one, two or four coefficient sets that its
// date needs in one pass and combines the components with the TimeWeights: main field and yearly change together,
// for every time behaviour, and no result depends on which points share a call.

#include <cassert>
#include <cmath>
#include <utility>

#include "model/field/field.hpp"
#include "model/units/angle.hpp"

namespace agonic::field {
namespace {

// WGS84, National Imagery and Mapping Agency TR8350.2.
constexpr double kEquatorKm = 6378.137;
constexpr double kFlattening = 1 / 298.257223563;
constexpr double kEccentricity2 = kFlattening * (2 - kFlattening);

template <class Number>
struct SinCos {
  Number sin, cos;
};

// Degrees, exact at multiples of 90; the subtraction is exact for |degrees| <= 360.
SinCos<double> sincos_deg(double degrees) {
  const double quarters = std::nearbyint(degrees / 90);
  const double rest = (degrees - 90 * quarters) * kDegree;
  const double s = std::sin(rest);
  const double c = std::cos(rest);
  switch (static_cast<int>(quarters) & 3) {
    case 0:
      return {s, c};
    case 1:
      return {c, 0.0 - s};
    case 2:
      return {0.0 - s, 0.0 - c};
    default:
      return {0.0 - c, s};
  }
}

// Where a point lies for the sum, and how its geocentric axes turn into geodetic ones.
template <class Number>
struct Spot {
  Number q, t, u;
  SinCos<Number> longitude;
  SinCos<Number> turn;  // of phi' - phi
};

template <class Number>
Spot<Number> spot(double radius_km, Number lat_deg, Number lon_deg, Number height_m) {
  using std::sqrt;
  const SinCos<Number> lat = sincos_deg(lat_deg);
  const Number height = height_m * 0.001;
  const Number normal = kEquatorKm / sqrt(1 - kEccentricity2 * lat.sin * lat.sin);
  const Number across = (normal + height) * lat.cos;
  const Number along = (normal * (1 - kEccentricity2) + height) * lat.sin;
  const Number r = sqrt(across * across + along * along);
  const Number sin_geocentric = along / r;
  const Number cos_geocentric = across / r;
  const Number q = radius_km / r;
  return {q,
          q * sin_geocentric,
          q * cos_geocentric,
          sincos_deg(lon_deg),
          {sin_geocentric * lat.cos - cos_geocentric * lat.sin, cos_geocentric * lat.cos + sin_geocentric * lat.sin}};
}

// One family of equal order: `steps` terms of recursion (4), `Values` sums a set. Advances the pointers.
template <std::size_t Values, std::size_t Sets, class Number>
inline void sum_family(const double*& constant, std::array<const double*, Sets>& value, int steps, Number t, Number q2,
                       std::array<std::array<Number, Values>, Sets>& sum) {
  for (auto& of_set : sum) of_set.fill(Number(0));
  Number before = Number(0);
  Number w = Number(1);
  for (int step = 0; step < steps; ++step) {
    for (std::size_t k = 0; k < Sets; ++k) {
      for (std::size_t v = 0; v < Values; ++v) sum[k][v] = sum[k][v] + value[k][v] * w;
      value[k] += Values;
    }
    // The constant of a step is that of the w after it.
    const Number next = t * w - *constant++ * q2 * before;
    before = w;
    w = next;
  }
}

template <class Number>
struct Geocentric {
  Number north{}, east{}, down{};
};

// Equations (10) to (12) for `Sets` coefficient sets at one place (or one vector of places).
template <std::size_t Sets, class Number>
std::array<Geocentric<Number>, Sets> sum_orders(const CoefficientSet& model, std::size_t first,
                                                const Spot<Number>& at) {
  const double* constant = model.prepared.constants.data();
  std::array<const double*, Sets> value;
  for (std::size_t k = 0; k < Sets; ++k) value[k] = model.prepared.sets[first + k].data();
  const Number q2 = at.q * at.q;
  std::array<Geocentric<Number>, Sets> out{};

  std::array<std::array<Number, 2>, Sets> zonal;
  sum_family<2, Sets, Number>(constant, value, model.degree + 1, at.t, q2, zonal);
  for (std::size_t k = 0; k < Sets; ++k) out[k].down = zonal[k][0] + zonal[k][1];

  Number re = at.longitude.cos;
  Number im = at.longitude.sin;
  const auto add = [&](std::size_t k, const Number* s, Number order) {
    out[k].north = out[k].north + (q2 * s[4] - at.t * s[2]) * re + (q2 * s[5] - at.t * s[3]) * im;
    out[k].east = out[k].east + order * at.q * (s[0] * im - s[1] * re);
    out[k].down = out[k].down + at.u * ((s[0] + s[2]) * re + (s[1] + s[3]) * im);
  };
  std::array<std::array<Number, 7>, Sets> one;
  sum_family<7, Sets, Number>(constant, value, model.degree, at.t, q2, one);
  for (std::size_t k = 0; k < Sets; ++k) {
    out[k].north = at.u * one[k][6];
    add(k, one[k].data(), Number(1));
  }
  const Number step_re = at.u * at.longitude.cos;
  const Number step_im = at.u * at.longitude.sin;
  for (int m = 2; m <= model.degree; ++m) {
    const Number turned = re * step_re - im * step_im;
    im = re * step_im + im * step_re;
    re = turned;
    std::array<std::array<Number, 6>, Sets> sum;
    sum_family<6, Sets, Number>(constant, value, model.degree + 1 - m, at.t, q2, sum);
    for (std::size_t k = 0; k < Sets; ++k) add(k, sum[k].data(), Number(m));
  }
  for (auto& b : out) b = {-(q2 * b.north), q2 * b.east, -(q2 * b.down)};
  return out;
}

template <std::size_t Sets>
FieldVector at_point(const CoefficientSet& model, const TimeWeights& weights, const Spot<double>& at) {
  const auto sets = sum_orders<Sets, double>(model, weights.first, at);
  Geocentric<double> main;
  Geocentric<double> change;
  for (std::size_t k = 0; k < Sets; ++k) {
    const auto fold = [&](Geocentric<double>& to, double by) {
      to.north += by * sets[k].north;
      to.east += by * sets[k].east;
      to.down += by * sets[k].down;
    };
    fold(main, weights.weight[k]);
    fold(change, weights.rate[k]);
  }
  const auto north = [&](const Geocentric<double>& b) { return b.north * at.turn.cos - b.down * at.turn.sin; };
  const auto down = [&](const Geocentric<double>& b) { return b.north * at.turn.sin + b.down * at.turn.cos; };
  return {north(main), main.east, down(main), north(change), change.east, down(change)};
}

// s(n,m) of equation (3) for one m: entry n - m.
std::vector<double> schmidt_factors(int m, int degree, double sectoral) {
  std::vector<double> s{sectoral};
  for (int n = m + 1; n <= degree; ++n)
    s.push_back(s.back() * (2 * n - 1) / std::sqrt(static_cast<double>(n * n - m * m)));
  return s;
}

}  // namespace

void prepare(CoefficientSet& model) {
  const int degree = model.degree;
  model.prepared = {};
  model.prepared.sets.resize(model.sets.size());
  for (auto& stream : model.prepared.sets) {
    const auto n = static_cast<std::size_t>(degree);
    stream.reserve((n + 1) * 2 + n * 7 + 3 * n * (n - 1));
  }
  double sectoral = 1;
  std::vector<double> of_order_one = schmidt_factors(1, degree, 1);
  for (int m = 0; m <= degree; ++m) {
    if (m >= 2) sectoral *= std::sqrt((2.0 * m - 1) / (2.0 * m));
    const std::vector<double> s = schmidt_factors(m, degree, sectoral);
    const auto factor = [&](int n) { return s[static_cast<std::size_t>(n - m)]; };
    for (int n = m; n <= degree; ++n) {
      // c(n+1, m): the constant by which w(n+1, m) follows.
      model.prepared.constants.push_back(static_cast<double>(n * n - m * m) / ((2.0 * n - 1) * (2.0 * n + 1)));
      for (std::size_t k = 0; k < model.sets.size(); ++k) {
        const std::vector<double>& set = model.sets[k];
        std::vector<double>& stream = model.prepared.sets[k];
        if (m == 0) {
          const double g = n == 0 ? 0 : factor(n) * set[value_index(n, 0)];
          stream.insert(stream.end(), {g, n * g});
          continue;
        }
        const std::size_t at = value_index(n, m);
        const double g = factor(n) * set[at];
        const double h = factor(n) * set[at + 1];
        double dg = 0;
        double dh = 0;
        if (n < degree) {
          const double shift = factor(n + 1) * ((n + 1) * (n + 1) - m * m) / (2 * n + 1);
          dg = shift * set[value_index(n + 1, m)];
          dh = shift * set[value_index(n + 1, m) + 1];
        }
        stream.insert(stream.end(), {g, h, n * g, n * h, dg, dh});
        if (m == 1) stream.push_back(std::sqrt(n * (n + 1) / 2.0) * factor(n) * set[value_index(n, 0)]);
      }
    }
  }
}

void evaluate(const CoefficientSet& model, const Points& points, std::span<FieldVector> out) {
  const std::size_t size = out.size();
  assert(points.lat_deg.size() == size && points.lon_deg.size() == size && points.height_m.size() == size &&
         points.decimal_year.size() == size);
  assert(model.prepared.sets.size() == model.sets.size());
  for (std::size_t i = 0; i < size; ++i) {
    const TimeWeights weights = model.weights(points.decimal_year[i]);
    const Spot<double> at = spot(model.radius_km, points.lat_deg[i], points.lon_deg[i], points.height_m[i]);
    switch (weights.count) {
      case 1:
        out[i] = at_point<1>(model, weights, at);
        break;
      case 2:
        out[i] = at_point<2>(model, weights, at);
        break;
      default:
        out[i] = at_point<4>(model, weights, at);
        break;
    }
  }
}

FieldVector evaluate(const CoefficientSet& model, double lat_deg, double lon_deg, double height_m,
                     double decimal_year) {
  FieldVector out;
  evaluate(model, {{&lat_deg, 1}, {&lon_deg, 1}, {&height_m, 1}, {&decimal_year, 1}}, {&out, 1});
  return out;
}

}  // namespace agonic::field
