// Transverse Mercator: Krueger's series to the sixth order in the third flattening n, as given by Karney 2011,
// Transverse Mercator with an accuracy of a few nanometers, doi:10.1007/s00190-011-0445-3 (equations 7 to 9 for the
// conformal latitude, 10 and 35 forward, 11 and 36 back, 23 to 26 for the convergence). Polar stereographic: Snyder
// 1987, Map Projections, a Working Manual, USGS Professional Paper 1395, equations 21-33 and 21-34. Zones and squares:
// NGA.SIG.0012.
#include "model/geodesy/projections_series.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "model/units/angle.hpp"

namespace agonic::geodesy::series {
namespace {

// WGS84.
constexpr double kEquator = 6378137;
constexpr double kFlattening = 1 / 298.257223563;
constexpr double kEccentricity2 = kFlattening * (2 - kFlattening);
const double kEccentricity = std::sqrt(kEccentricity2);
constexpr double kN = kFlattening / (2 - kFlattening);
constexpr double kUtmScale = 0.9996, kUpsScale = 0.994;
constexpr double kFalseEasting = 500'000, kFalseNorthingSouth = 10'000'000, kPolarFalse = 2'000'000;
constexpr double kSide = 100'000;  // of a lettered square

template <std::size_t Count>
constexpr double power_sum(double x, const double (&c)[Count]) {
  double sum = c[Count - 1];
  for (std::size_t i = Count - 1; i-- > 0;) sum = sum * x + c[i];
  return sum;
}
constexpr double n_to(int power) {
  double value = 1;
  for (int i = 0; i < power; ++i) value *= kN;
  return value;
}

constexpr std::array<double, 6> kForward{
    n_to(1) * power_sum(kN, {1 / 2.0, -2 / 3.0, 5 / 16.0, 41 / 180.0, -127 / 288.0, 7891 / 37800.0}),
    n_to(2) * power_sum(kN, {13 / 48.0, -3 / 5.0, 557 / 1440.0, 281 / 630.0, -1983433 / 1935360.0}),
    n_to(3) * power_sum(kN, {61 / 240.0, -103 / 140.0, 15061 / 26880.0, 167603 / 181440.0}),
    n_to(4) * power_sum(kN, {49561 / 161280.0, -179 / 168.0, 6601661 / 7257600.0}),
    n_to(5) * power_sum(kN, {34729 / 80640.0, -3418889 / 1995840.0}),
    n_to(6) * (212378941 / 319334400.0)};
constexpr std::array<double, 6> kBack{
    n_to(1) * power_sum(kN, {1 / 2.0, -2 / 3.0, 37 / 96.0, -1 / 360.0, -81 / 512.0, 96199 / 604800.0}),
    n_to(2) * power_sum(kN, {1 / 48.0, 1 / 15.0, -437 / 1440.0, 46 / 105.0, -1118711 / 3870720.0}),
    n_to(3) * power_sum(kN, {17 / 480.0, -37 / 840.0, -209 / 4480.0, 5569 / 90720.0}),
    n_to(4) * power_sum(kN, {4397 / 161280.0, -11 / 504.0, -830251 / 7257600.0}),
    n_to(5) * power_sum(kN, {4583 / 161280.0, -108847 / 3991680.0}),
    n_to(6) * (20648693 / 638668800.0)};
constexpr double kRectifying = kEquator / (1 + kN) * power_sum(kN * kN, {1, 1 / 4.0, 1 / 64.0, 1 / 256.0});

double sinh_of_conformal(double tau) {
  return std::sinh(kEccentricity * std::atanh(kEccentricity * tau / std::hypot(1, tau)));
}
// The tangent of the conformal latitude.
double conformal(double tau) {
  const double sigma = sinh_of_conformal(tau);
  return tau * std::hypot(1, sigma) - sigma * std::hypot(1, tau);
}
// The inverse, by Newton's method; three steps reach the last place.
double from_conformal(double target) {
  double tau = target / (1 - kEccentricity2);
  for (int i = 0; i < 5; ++i) {
    const double have = conformal(tau);
    tau += (target - have) / std::hypot(1, have) * (1 + (1 - kEccentricity2) * tau * tau) /
           ((1 - kEccentricity2) * std::hypot(1, tau));
  }
  return tau;
}

double tan_deg(double degrees) { return std::tan(degrees * kDegree); }

// Degrees, with the longitude in [-180, 180].
Geographic geographic(double lat_radians, double lon_deg) { return {lat_radians / kDegree, wrap_180(lon_deg)}; }

Geographic back_on_meridian(double meridian_deg, double easting, double northing) {
  const double xi = northing / (kUtmScale * kRectifying), eta = easting / (kUtmScale * kRectifying);
  double xi0 = xi, eta0 = eta;
  for (std::size_t j = 0; j < kBack.size(); ++j) {
    const double k = 2.0 * static_cast<double>(j + 1);
    xi0 -= kBack[j] * std::sin(k * xi) * std::cosh(k * eta);
    eta0 -= kBack[j] * std::cos(k * xi) * std::sinh(k * eta);
  }
  const double across = std::sinh(eta0), along = std::cos(xi0);
  const double tau = from_conformal(std::sin(xi0) / std::hypot(across, along));
  return geographic(std::atan(tau), meridian_deg + std::atan2(across, along) / kDegree);
}

// What the scale of the polar projection is divided by: Snyder's square root in 21-33.
double polar_factor() {
  return std::sqrt(std::pow(1 + kEccentricity, 1 + kEccentricity) * std::pow(1 - kEccentricity, 1 - kEccentricity));
}

Geographic back_at_pole(bool north, double easting, double northing) {
  const double t = std::hypot(easting, northing) * polar_factor() / (2 * kUpsScale * kEquator);
  const double lat = t > 0 ? std::atan(from_conformal((1 / t - t) / 2)) : kPi / 2;
  return geographic(north ? lat : -lat, std::atan2(easting, north ? -northing : northing) / kDegree);
}

std::optional<int> index_in(std::string_view letters, char letter) {
  const std::size_t at = letters.find(letter);
  return at == std::string_view::npos ? std::nullopt : std::optional(static_cast<int>(at));
}

constexpr std::string_view kBands = "CDEFGHJKLMNPQRSTUVWX";
constexpr std::string_view kRows = "ABCDEFGHJKLMNPQRSTUV";
constexpr int kRowPeriod = 20;

// Does a lettered square of a zone reach into a band? Its farthest corners do or do not, for its sides stand on the
// central meridian or to one side of it.
bool reaches_band(double easting, double northing, double from, double to) {
  double least = 90, most = -90;
  for (const double e : {easting, easting + kSide})
    for (const double n : {northing, northing + kSide}) {
      const double lat = back_on_meridian(0, e - kFalseEasting, n).lat_deg;
      least = std::min(least, lat);
      most = std::max(most, lat);
    }
  return most > from && least < to;
}

// The south-west corner of a lettered square, northings from the equator.
std::optional<std::pair<double, double>> utm_corner(int zone, char band, char column_letter, char row_letter) {
  constexpr std::array<std::string_view, 3> kColumns{"STUVWXYZ", "ABCDEFGH", "JKLMNPQR"};
  const auto column = index_in(kColumns[static_cast<std::size_t>(zone % 3)], column_letter);
  const auto row_index = index_in(kRows, row_letter);
  const auto band_index = index_in(kBands, band);
  if (!column || !row_index || !band_index) return std::nullopt;
  // Even zones begin with F.
  const int row = (*row_index - (zone % 2 == 0 ? 5 : 0) + kRowPeriod) % kRowPeriod;
  // The squares of the outermost bands go on as far as those of the grid: from 9000 km south to 9500 km north.
  const double south = -80 + 8 * *band_index;
  const double from = band == 'C' ? -90 : south, to = band == 'X' ? 90 : south + 8;
  const double easting = kSide * (*column + 1);
  for (int around = -5; around < 5; ++around) {
    const double northing = kSide * (row + kRowPeriod * around);
    // The equator parts the hemispheres.
    if ((northing >= 0) != (from >= 0) || northing > 9'400'000 || northing < -9'000'000) continue;
    if (reaches_band(easting, northing, from, to)) return std::pair(easting, northing);
  }
  return std::nullopt;
}

std::optional<std::pair<double, double>> ups_corner(char part, char column_letter, char row_letter) {
  const bool north = part == 'Y' || part == 'Z', east = part == 'B' || part == 'Z';
  const std::string_view columns = north ? (east ? "ABCFGHJ" : "RSTUXYZ") : (east ? "ABCFGHJKLPQR" : "JKLPQRSTUXYZ");
  const auto column = index_in(columns, column_letter);
  const auto row = index_in(north ? "ABCDEFGHJKLMNP" : "ABCDEFGHJKLMNPQRSTUVWXYZ", row_letter);
  if (!column || !row) return std::nullopt;
  const double first = north ? 1'300'000 : 800'000;
  return std::pair((east ? kPolarFalse : first) + kSide * *column, first + kSide * *row);
}

}  // namespace

OnPlane transverse_mercator(double meridian_deg, double lat_deg, double lon_deg) {
  const double lambda = wrap_180(lon_deg - meridian_deg) * kDegree;
  const double tau = conformal(tan_deg(lat_deg));
  const double xi0 = std::atan2(tau, std::cos(lambda));
  const double eta0 = std::asinh(std::sin(lambda) / std::hypot(tau, std::cos(lambda)));
  double xi = xi0, eta = eta0, p = 1, q = 0;
  for (std::size_t j = 0; j < kForward.size(); ++j) {
    const double k = 2.0 * static_cast<double>(j + 1);
    const double s = std::sin(k * xi0), c = std::cos(k * xi0), sh = std::sinh(k * eta0), ch = std::cosh(k * eta0);
    xi += kForward[j] * s * ch;
    eta += kForward[j] * c * sh;
    p += k * kForward[j] * c * ch;
    q += k * kForward[j] * s * sh;
  }
  const double turn = std::atan2(tau * std::sin(lambda), std::hypot(1, tau) * std::cos(lambda)) + std::atan2(q, p);
  return {kUtmScale * kRectifying * eta, kUtmScale * kRectifying * xi, turn / kDegree};
}

OnPlane polar_stereographic(bool north, double lat_deg, double lon_deg) {
  const double tau = conformal(tan_deg(north ? lat_deg : -lat_deg));
  const double t = tau > 0 ? 1 / (std::hypot(1, tau) + tau) : std::hypot(1, tau) - tau;
  const double rho =
      std::abs(lat_deg) == 90 && (lat_deg > 0) == north ? 0 : 2 * kUpsScale * kEquator * t / polar_factor();
  const double lambda = lon_deg * kDegree;
  return {rho * std::sin(lambda), (north ? -rho : rho) * std::cos(lambda), north ? lon_deg : -lon_deg};
}

int standard_zone(double lat_deg, double lon_deg) {
  if (!(lat_deg >= -80 && lat_deg < 84)) return kUps;
  double lon = wrap_180(lon_deg);
  if (lon == 180) lon = -180;
  if (lat_deg >= 56 && lat_deg < 64 && lon >= 3 && lon < 12) return 32;
  if (lat_deg >= 72 && lon >= 0 && lon < 42) return lon < 9 ? 31 : lon < 21 ? 33 : lon < 33 ? 35 : 37;
  return static_cast<int>(std::floor((lon + 180) / 6)) + 1;
}

std::optional<Geographic> from_utm_ups(int zone, bool north, double easting_m, double northing_m) {
  const auto within = [](double x, double least, double most) { return x >= least && x <= most; };
  if (zone == kUps) {
    // The squares of UPS and one more on every side.
    const double reach = north ? 800'000 : 1'300'000;
    if (std::max(std::abs(easting_m - kPolarFalse), std::abs(northing_m - kPolarFalse)) > reach) return std::nullopt;
    return back_at_pole(north, easting_m - kPolarFalse, northing_m - kPolarFalse);
  }
  // What readers of places hold back is not looked at again: northings across the equator have a meaning too.
  if (zone < 1 || zone > 60 || !within(easting_m, 0, 2 * kFalseEasting) ||
      !within(northing_m - (north ? 0 : kFalseNorthingSouth), -9'100'000, 9'600'000))
    return std::nullopt;
  return back_on_meridian(6.0 * zone - 183, easting_m - kFalseEasting,
                          north ? northing_m : northing_m - kFalseNorthingSouth);
}

std::optional<MgrsSquare> mgrs_square(const std::string& mgrs) {
  MgrsSquare square;
  std::size_t at = 0;
  while (at < mgrs.size() && mgrs[at] >= '0' && mgrs[at] <= '9') square.zone = 10 * square.zone + (mgrs[at++] - '0');
  if (at > 2 || mgrs.size() < at + 3 || (at > 0 && (square.zone < 1 || square.zone > 60))) return std::nullopt;
  const char band = mgrs[at];
  const auto corner =
      at == 0 ? ups_corner(band, mgrs[1], mgrs[2]) : utm_corner(square.zone, band, mgrs[at + 1], mgrs[at + 2]);
  if (!corner || (at == 0 && std::string_view("ABYZ").find(band) == std::string_view::npos)) return std::nullopt;
  square.north = at == 0 ? band >= 'Y' : band >= 'N';
  const std::string_view digits = std::string_view(mgrs).substr(at + 3);
  if (digits.size() % 2 != 0 || digits.size() > 22) return std::nullopt;
  square.digits = static_cast<int>(digits.size() / 2);
  double easting = 0, northing = 0, unit = kSide;
  for (std::size_t i = 0; i < digits.size() / 2; ++i) {
    const char e = digits[i], n = digits[i + digits.size() / 2];
    if (e < '0' || e > '9' || n < '0' || n > '9') return std::nullopt;
    unit /= 10;
    easting += unit * (e - '0');
    northing += unit * (n - '0');
  }
  square.easting_m = corner->first + easting + unit / 2;
  square.northing_m = corner->second + northing + unit / 2;
  if (at > 0 && !square.north) square.northing_m += kFalseNorthingSouth;
  return square;
}

}  // namespace agonic::geodesy::series
