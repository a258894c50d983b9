// Angles in degrees, and directions that know which north they are referred to.
//
// Degrees are stored, never radians, so that readings and cardinal directions come back exactly.
#pragma once

#include <compare>
#include <string_view>

namespace agonic {

/// `degrees` brought into [0, 360). Exact: fmod loses nothing. -0 becomes +0.
double wrap_360(double degrees) noexcept;
/// `degrees` brought into (-180, 180].
double wrap_180(double degrees) noexcept;

/// An angle to be added to a direction; degrees, clockwise (east) positive, any size.
template <class Tag>
struct Turn {
  double deg = 0;
  friend auto operator<=>(const Turn&, const Turn&) = default;
};

/// From true north to magnetic north.
using Declination = Turn<struct DeclinationTag>;
/// From true north to grid north.
using Convergence = Turn<struct ConvergenceTag>;
/// From grid north to magnetic north (G-M angle): declination minus convergence.
using GridMagneticAngle = Turn<struct GridMagneticTag>;
/// What was set on the circle: from the circle's zero line to its index, east positive.
using CircleSetting = Turn<struct CircleSettingTag>;
/// Reading minus truth of an azimuth.
using AzimuthIndexError = Turn<struct AzimuthIndexTag>;

// The norths. Circle: as read off an instrument whose circle may have been turned.
struct True {};
struct Magnetic {};
struct Grid {};
struct Circle {};

/// A direction in [0, 360) from the north named by its type. Two norths do not mix: only a Declination turns
/// magnetic into true, only a Convergence grid into true, and only a setting and an index error a circle reading
/// into magnetic.
template <class North>
class Azimuth {
 public:
  constexpr Azimuth() = default;
  explicit Azimuth(double degrees) noexcept : degrees_(wrap_360(degrees)) {}
  [[nodiscard]] constexpr double degrees() const noexcept { return degrees_; }
  /// The opposite direction.
  [[nodiscard]] Azimuth back() const noexcept { return Azimuth(degrees_ + 180); }
  /// The same north, turned by `degrees` clockwise (a dip direction from its strike).
  [[nodiscard]] Azimuth turned(double degrees) const noexcept { return Azimuth(degrees_ + degrees); }

 private:
  double degrees_ = 0;
};

inline Azimuth<True> operator+(Azimuth<Magnetic> azimuth, Declination d) noexcept {
  return Azimuth<True>(azimuth.degrees() + d.deg);
}
inline Azimuth<Magnetic> operator-(Azimuth<True> azimuth, Declination d) noexcept {
  return Azimuth<Magnetic>(azimuth.degrees() - d.deg);
}
inline Azimuth<True> operator+(Azimuth<Grid> azimuth, Convergence c) noexcept {
  return Azimuth<True>(azimuth.degrees() + c.deg);
}
inline Azimuth<Grid> operator-(Azimuth<True> azimuth, Convergence c) noexcept {
  return Azimuth<Grid>(azimuth.degrees() - c.deg);
}
inline Azimuth<Magnetic> operator-(Azimuth<Grid> azimuth, GridMagneticAngle g) noexcept {
  return Azimuth<Magnetic>(azimuth.degrees() - g.deg);
}
/// From a reading to the needle: index error and setting are taken off together.
inline Azimuth<Magnetic> magnetic(Azimuth<Circle> reading, CircleSetting set, AzimuthIndexError index) noexcept {
  return Azimuth<Magnetic>(reading.degrees() - set.deg - index.deg);
}
inline GridMagneticAngle operator-(Declination d, Convergence c) noexcept { return {d.deg - c.deg}; }

// Trigonometry in degrees, exact at multiples of 90.
double sin_deg(double degrees) noexcept;
double cos_deg(double degrees) noexcept;

inline constexpr double kDegree = 0.017453292519943295769236907684886;  ///< radians
inline constexpr double kPi = 3.1415926535897932384626433832795;

}  // namespace agonic
