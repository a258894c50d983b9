// What stands on the card: the lookup, the setting, the grid reference, the instrument, the radius.
#include <algorithm>
#include <cmath>

#include "model/card/card.hpp"
#include "model/instrument/in_force.hpp"
#include "model/units/number.hpp"

namespace agonic::card {
namespace {

constexpr double kEarthKm = 6371.2;
constexpr int kDirections = 36;

// A degree sign would be one of another size in some fonts; numbers are degrees all over the card.
std::string with_sign(double value) {
  const std::string text = format_fixed(value, 2);
  return text.front() == '-' ? text : "+" + text;
}

// A point at a distance, on the sphere.
field::Spot around(const field::Spot& from, double azimuth_deg, double km) {
  const double s = km / kEarthKm / kDegree;
  const double sin_lat = sin_deg(from.lat_deg) * cos_deg(s) + cos_deg(from.lat_deg) * sin_deg(s) * cos_deg(azimuth_deg);
  field::Spot out = from;
  out.lat_deg = std::asin(std::clamp(sin_lat, -1.0, 1.0)) / kDegree;
  out.lon_deg = wrap_180(from.lon_deg + std::atan2(sin_deg(azimuth_deg) * sin_deg(s) * cos_deg(from.lat_deg),
                                                   cos_deg(s) - sin_deg(from.lat_deg) * sin_lat) /
                                            kDegree);
  return out;
}

double declination(const field::CoefficientSet& model, const field::Spot& spot) {
  return field::elements(field::evaluate(model, spot.lat_deg, spot.lon_deg, spot.height_m, spot.decimal_year))
      .declination_deg;
}

std::string index_words(const std::string& what, double error, double sigma) {
  return what + " " + with_sign(error) + " \u00B1 " + format_fixed(sigma, 2);
}

InstrumentPart part_of(const instrument::InForce& now, const std::string& id) {
  InstrumentPart part{id, {}};
  if (!now.description.note.empty()) part.lines.push_back(printable(now.description.note, 60));
  if (now.azimuth) {
    const auto& c = now.azimuth->curve;
    if (c.b == 0 && c.c == 0 && c.d == 0 && c.e == 0)
      part.lines.push_back(index_words("azimuth index error", c.a, std::sqrt(now.azimuth->covariance.upper[0])));
    else
      part.lines.push_back("azimuth index error A B C D E " + with_sign(c.a) + " " + with_sign(c.b) + " " +
                           with_sign(c.c) + " " + with_sign(c.d) + " " + with_sign(c.e));
  } else {
    part.lines.push_back("azimuth index error not known: " + now.azimuth_lacking);
  }
  if (now.vertical)
    part.lines.push_back(index_words("vertical index error", now.vertical->error_deg, now.vertical->sigma_deg));
  if (now.dip) part.lines.push_back(index_words("dip index error", now.dip->error_deg, now.dip->sigma_deg));
  part.lines.emplace_back("(reading minus truth: take it off a reading)");
  return part;
}

}  // namespace

std::optional<double> radius_km(const field::CoefficientSet& model, const field::Spot& spot, double change_deg) {
  const double here = declination(model, spot);
  const auto changes = [&](double km) {
    for (int k = 0; k < kDirections; ++k)
      if (std::abs(wrap_180(declination(model, around(spot, k * 360.0 / kDirections, km)) - here)) >= change_deg)
        return true;
    return false;
  };
  // Outward in small steps, so that the first ring that changes is found, then halved.
  double good = 0, bad = 0.1;
  while (!changes(bad)) {
    good = bad;
    if (bad >= kFarthestKm) return std::nullopt;
    bad = std::min(kFarthestKm, bad * 1.25);
  }
  for (int i = 0; i < 8; ++i) {
    const double middle = (good + bad) / 2;
    (changes(middle) ? bad : good) = middle;
  }
  if (good < 0.1) return 0;
  const double unit = std::pow(10, std::floor(std::log10(good)) - 1);
  return std::floor(good / unit + 1e-9) * unit;
}

Result<Sheet> gather(const field::Catalogue& catalogue, geodesy::Grids& grids, const Parameters& given,
                     const instrument::Registry* instruments, std::chrono::sys_days today) {
  Parameters parameters = given;
  Sheet sheet;
  sheet.computed_on = iso_day(today);
  sheet.name = printable(parameters.get("name").value_or(""), 60);
  if (const auto id = parameters.get("instrument")) {
    if (instruments == nullptr) return instrument::unknown_instrument(*id);
    const auto record = instruments->find(*id);
    if (!record) return record.problem();
    auto query = lookup::parse_query(parameters, today);
    if (!query) return query.problem();
    auto now = instrument::in_force(**record, query->date);
    if (!now) return now.problem();
    const auto& circle = now->description.circle;
    const auto fill = [&](const char* name, std::string value) { parameters.values.emplace(name, std::move(value)); };
    fill("graduation", format_trimmed(circle.graduation_deg, 9));
    fill("circle", !circle.turnable                                  ? "fixed"
                   : circle.figures == instrument::Figures::quadrant ? "quadrant"
                                                                     : "azimuth");
    fill("east_turn", std::string(instrument::word(circle.east_turn)));
    sheet.instrument = part_of(*now, printable(*id, 40));
  }
  auto query = lookup::parse_setting_query(parameters, today);
  if (!query) return query.problem();
  auto answer = lookup::setting(catalogue, grids, *query);
  if (!answer) return answer.problem();
  sheet.answer = *std::move(answer);
  const auto& where = sheet.answer.declination.query;
  if (auto grid = grids.at(where.crs, where.place.lat_deg, where.place.lon_deg))
    sheet.grid_reference =
        grid->name + " " + format_fixed(grid->easting_m, 0) + " " + format_fixed(grid->northing_m, 0);
  if (sheet.answer.declination.field.needle != field::Needle::unusable)
    sheet.radius_km =
        radius_km(*sheet.answer.declination.field.model,
                  {where.place.lat_deg, where.place.lon_deg, where.height_m, where.date.decimal_year}, kRadiusDeg);
  return sheet;
}

}  // namespace agonic::card
