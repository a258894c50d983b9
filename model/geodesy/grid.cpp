// Convergence. UTM and UPS come from projections.hpp, whose convergence is analytic. For other systems PROJ
// gives the projection, and the convergence is the direction of a short piece of the meridian through the place.
//
// PROJ's own factors are not used: on a coordinate reference system they cost milliseconds a call and go wrong where
// its axes are northing first or its unit is not the metre, and on a bare projection they overlook the prime meridian.
#include "model/geodesy/grid.hpp"

#include <proj.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <unordered_map>
#include <utility>
#include <variant>

#include "model/geodesy/projections.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::geodesy {
namespace {

// UTM and UPS as far as GeographicLib and the standard let them reach.
constexpr double kFalseEasting = 500'000;
constexpr double kMostUtmNorthing = 9'600'000;
constexpr double kMostUtmLonDeg = 60;
constexpr double kFalseNorthingSouth = 10'000'000;
constexpr double kPolarFalse = 2'000'000;
constexpr std::size_t kLongestName = 300;
// Radians north and south of the place for the piece of meridian: 64 m, where neither the curve of the meridian nor
// the rounding of coordinates reaches 1e-8 degree.
constexpr double kStep = 1e-5;

constexpr std::string_view kRemedy =
    "Give utm, a zone such as UTM 32N, UPS N, a projected system such as EPSG:27700, or a text that begins with "
    "+proj=.";

struct StandardZone {};
struct Utm {
  int zone = 0;
  std::optional<bool> north;  // false northing by EPSG number
  std::string name;           // empty: after the zone
};
struct Ups {
  std::optional<bool> north;
};

struct Area {
  double west = -180;
  double south = -90;
  double east = 180;
  double north = 90;

  [[nodiscard]] bool holds(double lat, double lon, double margin) const {
    if (lat < south - margin || lat > north + margin) return false;
    double width = east - west;
    if (width <= 0) width += 360;  // over the antimeridian
    return width + 2 * margin >= 360 || wrap_360(lon - west + margin) <= width + 2 * margin;
  }
};

struct Destroy {
  void operator()(PJ* object) const { proj_destroy(object); }
  void operator()(PJ_CONTEXT* context) const { proj_context_destroy(context); }
};
using Object = std::unique_ptr<PJ, Destroy>;

struct Projected {
  Object projection;  // radians to metres east and north
  Area area;
  std::string name;
};

using Grid = std::variant<StandardZone, Utm, Ups, Projected>;

Problem unknown(std::string_view crs, std::string message) {
  return {Code::grid_unknown, "crs", std::string(crs), std::move(message), std::string(kRemedy)};
}
Problem out_of_area(std::string_view crs, std::string message) {
  return {Code::grid_out_of_area, "crs", std::string(crs), std::move(message),
          "Check the place and the grid, or give utm for the zone of the place."};
}

bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }

std::optional<int> small_number(std::string_view digits) noexcept {
  if (digits.empty() || digits.size() > 6) return std::nullopt;
  int value = 0;
  for (const char c : digits) {
    if (!is_digit(c)) return std::nullopt;
    value = 10 * value + (c - '0');
  }
  return value;
}

// UTM and UPS by name. Nothing for a name of another form.
std::optional<Result<Grid>> utm_by_name(std::string_view crs) {
  std::string name = lower(crs);
  std::erase_if(name, [](char c) { return c == ' ' || c == '\t'; });
  std::string_view rest = name;
  if (rest == "utm" || rest == "utm/ups") return Grid(StandardZone{});
  if (rest.starts_with("epsg:")) {
    const auto code = small_number(rest.substr(5));
    if (code && *code >= 32601 && *code <= 32660)
      return Grid(Utm{*code - 32600, true, "EPSG:" + std::to_string(*code)});
    if (code && *code >= 32701 && *code <= 32760)
      return Grid(Utm{*code - 32700, false, "EPSG:" + std::to_string(*code)});
    return std::nullopt;
  }
  if (rest.starts_with("ups")) {
    rest.remove_prefix(3);
    if (rest.empty()) return Grid(Ups{});
    if (rest == "n" || rest == "north") return Grid(Ups{true});
    if (rest == "s" || rest == "south") return Grid(Ups{false});
    return unknown(crs, "UPS is N or S");
  }
  const bool says_utm = rest.starts_with("utm");
  if (says_utm) rest.remove_prefix(3);
  if (says_utm && rest.starts_with("zone")) rest.remove_prefix(4);
  std::size_t length = 0;
  while (length < rest.size() && is_digit(rest[length])) ++length;
  const std::string_view half = rest.substr(length);
  // A band letter names the same zone. With S it does not matter whether it is the band or the hemisphere.
  const bool known_half = half.empty() || half == "north" || half == "south" ||
                          (half.size() == 1 && half[0] >= 'c' && half[0] <= 'x' && half != "i" && half != "o");
  const auto zone = small_number(rest.substr(0, length));
  if (!zone || !known_half || length > 2) {
    if (says_utm) return unknown(crs, "this is no zone of UTM");
    return std::nullopt;
  }
  if (*zone < 1 || *zone > 60) return unknown(crs, "UTM zones run from 1 to 60");
  return Grid(Utm{*zone, std::nullopt, {}});
}

Result<GridAt> ups_at(std::string_view crs, bool north, double lat, double lon) {
  GridAt at;
  at.name = north ? "UPS N" : "UPS S";
  if (north != (lat >= 0)) return out_of_area(crs, "the place is in the other hemisphere");
  const OnPlane plane = polar_stereographic(north, lat, lon);
  at.easting_m = plane.easting_m;
  at.northing_m = plane.northing_m;
  if (std::max(std::abs(at.easting_m), std::abs(at.northing_m)) > kPolarFalse)
    return out_of_area(crs, "the place is too far from the pole for UPS");
  at.easting_m += kPolarFalse;
  at.northing_m += kPolarFalse;
  at.convergence_deg = wrap_180(plane.convergence_deg);
  return at;
}

Result<GridAt> utm_at(std::string_view crs, const Utm& utm, double lat, double lon) {
  GridAt at;
  const bool north = utm.north.value_or(lat >= 0);
  const double meridian = 6 * utm.zone - 183;
  const auto too_far = [&] {
    return out_of_area(crs, "the place is too far from zone " + std::to_string(utm.zone) +
                                ", whose central meridian is " + format_trimmed(meridian, 0));
  };
  if (std::abs(wrap_180(lon - meridian)) > kMostUtmLonDeg) return too_far();
  const OnPlane plane = transverse_mercator(meridian, lat, lon);
  at.easting_m = plane.easting_m;
  at.northing_m = plane.northing_m;
  if (!(std::abs(at.easting_m) <= kFalseEasting && std::abs(at.northing_m) <= kMostUtmNorthing)) return too_far();
  at.easting_m += kFalseEasting;
  if (!north) at.northing_m += kFalseNorthingSouth;
  at.convergence_deg = wrap_180(plane.convergence_deg);
  at.name = utm.name.empty() ? "UTM " + std::to_string(utm.zone) + (north ? 'N' : 'S') : utm.name;
  return at;
}

Result<GridAt> projected_at(std::string_view crs, const Projected& grid, double lat, double lon) {
  const auto beyond = [&] { return out_of_area(crs, "the place is outside the area this grid is made for"); };
  if (!grid.area.holds(lat, lon, Grids::kAreaMarginDeg)) return beyond();
  PJ* const projection = grid.projection.get();
  const auto forward = [&](double phi) {
    proj_errno_reset(projection);
    return proj_trans(projection, PJ_FWD, proj_coord(lon * kDegree, phi, 0, 0)).xy;
  };
  const double phi = lat * kDegree;
  const auto here = forward(phi);
  const auto above = forward(std::min(phi + kStep, kPi / 2));
  const auto below = forward(std::max(phi - kStep, -kPi / 2));
  const double east = above.x - below.x;
  const double north = above.y - below.y;
  if (!std::isfinite(here.x) || !std::isfinite(here.y) || !std::isfinite(east) || !std::isfinite(north))
    return beyond();
  // Where the projection stretches a pole to a line the meridians have no direction to compare.
  if (std::hypot(east, north) < 1e-3) return beyond();
  return GridAt{wrap_180(-std::atan2(east, north) / kDegree), grid.name, here.x, here.y};
}

// The projection's text with what belongs to the map's use only taken out: axes, units, datum shifts, heights.
std::string bare_projection(std::string_view text) {
  std::string bare;
  std::size_t at = 0;
  while ((at = text.find_first_not_of(" \t", at)) != std::string_view::npos) {
    const std::size_t end = std::min(text.find_first_of(" \t", at), text.size());
    const std::string_view word = text.substr(at, end - at);
    at = end;
    bool keep = true;
    for (const std::string_view left : {"+type=", "+axis=", "+units=", "+to_meter=", "+towgs84=", "+nadgrids=",
                                        "+geoidgrids=", "+vunits=", "+vto_meter=", "+no_defs", "+wktext"})
      keep = keep && !word.starts_with(left);
    if (!keep) continue;
    if (!bare.empty()) bare += ' ';
    bare += word;
  }
  return bare;
}

// Text in PROJ's words may name files. Only what describes one projection is let through.
bool harmless_projection(std::string_view text) {
  if (!text.starts_with("+proj=")) return false;
  for (const char c : text)
    if (!is_digit(c) && !(c >= 'a' && c <= 'z') && !(c >= 'A' && c <= 'Z') &&
        std::string_view(" +-=._,").find(c) == std::string_view::npos)
      return false;
  for (const std::string_view word :
       {"init=", "grids", "file", "pipeline", "step", "catalog", "+type=", "xyzgridshift"})
    if (text.find(word) != std::string_view::npos) return false;
  return true;
}

// "EPSG:27700" taken apart; empty for another form.
std::optional<std::pair<std::string, std::string>> authority_and_code(std::string_view crs) {
  const std::size_t colon = crs.find(':');
  if (colon == std::string_view::npos || colon == 0 || colon + 1 == crs.size()) return std::nullopt;
  std::string authority(crs.substr(0, colon));
  const std::string_view code = crs.substr(colon + 1);
  for (char& c : authority) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 32);
    if (!(c >= 'A' && c <= 'Z')) return std::nullopt;
  }
  for (const char c : code)
    if (!is_digit(c) && !(c >= 'a' && c <= 'z') && !(c >= 'A' && c <= 'Z') && c != '_' && c != '-' && c != '.')
      return std::nullopt;
  return std::pair(std::move(authority), std::string(code));
}

}  // namespace

class Grids::Kept {
 public:
  Kept() : context_(proj_context_create()) {
    proj_context_set_enable_network(context_.get(), 0);
    proj_log_level(context_.get(), PJ_LOG_NONE);
  }

  const Result<Grid>& find(std::string_view crs) {
    const auto known = grids_.find(std::string(crs));
    if (known != grids_.end()) {
      known->second.used = ++clock_;
      return known->second.grid;
    }
    if (grids_.size() >= kKept)
      grids_.erase(std::min_element(grids_.begin(), grids_.end(),
                                    [](const auto& a, const auto& b) { return a.second.used < b.second.used; }));
    return grids_.emplace(std::string(crs), Entry{make(crs), ++clock_}).first->second.grid;
  }

 private:
  struct Entry {
    Result<Grid> grid;
    std::uint64_t used;
  };

  Result<Grid> make(std::string_view crs) {
    if (crs.empty()) return unknown(crs, "no grid is named here");
    if (crs.size() > kLongestName) return unknown(crs, "this is too long for a grid");
    if (auto utm = utm_by_name(crs)) return *std::move(utm);
    Object system;
    std::string name(crs);
    if (crs.front() == '+') {
      if (!harmless_projection(crs)) return unknown(crs, "this is not the description of one projection");
      system.reset(proj_create(context_.get(), (name + " +type=crs").c_str()));
    } else if (const auto parts = authority_and_code(crs)) {
      name = parts->first + ':' + parts->second;
      system.reset(proj_create_from_database(context_.get(), parts->first.c_str(), parts->second.c_str(),
                                             PJ_CATEGORY_CRS, 0, nullptr));
    }
    if (!system) return unknown(crs, "no grid of this name is known");
    return projected(crs, std::move(name), std::move(system));
  }

  Result<Grid> projected(std::string_view crs, std::string name, Object system) {
    Area area;
    if (!proj_get_area_of_use(context_.get(), system.get(), &area.west, &area.south, &area.east, &area.north,
                              nullptr) ||
        area.west < -180 || area.south < -90)
      area = Area{};
    if (proj_get_type(system.get()) == PJ_TYPE_COMPOUND_CRS)
      system.reset(proj_crs_get_sub_crs(context_.get(), system.get(), 0));
    if (system && proj_get_type(system.get()) == PJ_TYPE_BOUND_CRS)
      system.reset(proj_get_source_crs(context_.get(), system.get()));
    if (!system || proj_get_type(system.get()) != PJ_TYPE_PROJECTED_CRS)
      return unknown(crs, "this system has latitude and longitude and no grid north");
    const char* text = proj_as_proj_string(context_.get(), system.get(), PJ_PROJ_4, nullptr);
    Object projection(text ? proj_create(context_.get(), bare_projection(text).c_str()) : nullptr);
    if (!projection) return unknown(crs, "this system cannot be computed here");
    return Grid(Projected{std::move(projection), area, std::move(name)});
  }

  std::unique_ptr<PJ_CONTEXT, Destroy> context_;  // outlives the grids made in it
  std::unordered_map<std::string, Entry> grids_;
  std::uint64_t clock_ = 0;
};

Grids::Grids() : kept_(std::make_unique<Kept>()) {}
Grids::~Grids() = default;
Grids::Grids(Grids&&) noexcept = default;
Grids& Grids::operator=(Grids&&) noexcept = default;

Result<GridAt> Grids::at(std::string_view crs, double lat_deg, double lon_deg) {
  if (!(std::abs(lat_deg) <= 90) || !(lon_deg >= -180 && lon_deg <= 360))
    return Problem{Code::place_out_of_range,
                   "place",
                   {},
                   "the place is not on the earth",
                   "Give a latitude from -90 to 90 and a longitude from -180 to 360."};
  crs = trim(crs);
  const Result<Grid>& found = kept_->find(crs);
  if (!found) return found.problem();
  const double lon = wrap_180(lon_deg);
  const Grid& grid = *found;
  if (const auto* projected = std::get_if<Projected>(&grid)) return projected_at(crs, *projected, lat_deg, lon);
  if (const auto* utm = std::get_if<Utm>(&grid)) return utm_at(crs, *utm, lat_deg, lon);
  if (const auto* ups = std::get_if<Ups>(&grid)) return ups_at(crs, ups->north.value_or(lat_deg >= 0), lat_deg, lon);
  const int zone = standard_zone(lat_deg, lon);
  if (zone == kUps) return ups_at(crs, lat_deg >= 0, lat_deg, lon);
  return utm_at(crs, Utm{zone, std::nullopt, {}}, lat_deg, lon);
}

std::optional<Problem> Grids::check(std::string_view crs) {
  const Result<Grid>& found = kept_->find(trim(crs));
  if (found) return std::nullopt;
  return found.problem();
}

}  // namespace agonic::geodesy
