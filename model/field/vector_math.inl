// Trigonometry on vectors of double precision, in degrees. Included by kernel.cpp once for every kind of processor,
// hence no guard.
//
// Each polynomial is the Chebyshev interpolant of the function named beside it, computed with 60 digits; its error
// stays below a tenth of the last place of the result.

namespace agonic::field {
namespace HWY_NAMESPACE {
namespace {

namespace hn = hwy::HWY_NAMESPACE;
using D = hn::ScalableTag<double>;
using VD = hn::Vec<D>;
constexpr D kTag;
constexpr std::size_t kLanes = hn::MaxLanes(kTag);

HWY_INLINE VD set(double x) { return hn::Set(kTag, x); }
HWY_INLINE VD fma(VD a, VD b, VD c) { return hn::MulAdd(a, b, c); }

// Horner's rule, the lowest power first.
template <std::size_t Count>
HWY_INLINE VD polynomial(VD x, const double (&c)[Count]) {
  VD sum = set(c[Count - 1]);
  for (std::size_t i = Count - 1; i-- > 0;) sum = fma(sum, x, set(c[i]));
  return sum;
}

struct SinCos {
  VD sin, cos;
};

// Exact at multiples of 90. |degrees| <= 360 or so: the reduction is exact as long as the quarter is a small integer.
HWY_INLINE SinCos sincos_deg(VD degrees) {
  // (sin(x) / x - 1) / x^2 and (cos(x) - 1 + x^2 / 2) / x^4 in powers of x^2, |x| <= pi / 4.
  constexpr double kSin[] = {-0.16666666666666666,   0.008333333333330948,   -0.00019841269836756774,
                             2.7557316101617874e-06, -2.505113165023518e-08, 1.5918115263265974e-10};
  constexpr double kCos[] = {0.041666666666666664,    -0.0013888888888887398, 2.480158729876456e-05,
                             -2.7557317271145144e-07, 2.087614614655861e-09,  -1.1382623647474604e-11};
  const VD quarters = hn::Round(degrees * set(1 / 90.0));
  const VD x = hn::NegMulAdd(quarters, set(90), degrees) * set(kDegree);
  const VD z = x * x;
  const VD s = fma(x * z, polynomial(z, kSin), x);
  const VD c = fma(z * z, polynomial(z, kCos), fma(z, set(-0.5), set(1)));
  const VD quarter = quarters - set(4) * hn::Floor(quarters * set(0.25));  // 0, 1, 2 or 3
  const auto swapped = hn::Or(quarter == set(1), quarter == set(3));
  const VD zero = hn::Zero(kTag);
  const VD sin = hn::IfThenElse(swapped, c, s);
  const VD cos = hn::IfThenElse(swapped, s, c);
  // Taken from zero, so that there is no -0.
  return {hn::IfThenElse(quarter >= set(2), zero - sin, sin + zero),
          hn::IfThenElse(hn::Abs(quarter - set(1.5)) < set(1), zero - cos, cos + zero)};
}

// In (-180, 180], exact at multiples of 45; 0 where both are 0.
HWY_INLINE VD atan2_deg(VD y, VD x) {
  // (atan(r) / r - 1) / r^2 in powers of r^2, |r| <= tan 22.5.
  constexpr double kAtan[] = {-0.3333333333333333,   0.19999999999995516, -0.14285714284665682, 0.11111111015187018,
                              -0.0909090457530649,   0.07692183125376892, -0.06664510525508936, 0.05858140904866328,
                              -0.050854078345894844, 0.03923044778479309, -0.019175404711104935};
  const VD zero = hn::Zero(kTag);
  const VD across = hn::Abs(y);
  const VD along = hn::Abs(x);
  const VD low = hn::Min(across, along);
  const VD high = hn::Max(across, along);
  // atan(low / high), above 22.5 degrees as 45 + atan((low - high) / (low + high)).
  const auto upper = low > high * set(0.41421356237309503);
  const VD below = hn::IfThenElse(upper, low + high, high);
  const VD r = hn::IfThenElse(upper, low - high, low) / hn::IfThenElse(below == zero, set(1), below);
  const VD z = r * r;
  VD angle = fma(r * z, polynomial(z, kAtan), r) * set(1 / kDegree);
  angle = angle + hn::IfThenElseZero(upper, set(45));
  angle = hn::IfThenElse(across > along, set(90) - angle, angle);
  angle = hn::IfThenElse(x < zero, set(180) - angle, angle);
  angle = hn::IfThenElse(y < zero, zero - angle, angle);
  return hn::IfThenElse(angle <= set(-180), set(180), angle);
}

}  // namespace
}  // namespace HWY_NAMESPACE
}  // namespace agonic::field
