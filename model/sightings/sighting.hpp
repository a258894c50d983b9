// One sighting, read and held against what is known of its direction.
#pragma once

#include <array>
#include <chrono>
#include <optional>
#include <string>

#include "model/field/catalogue.hpp"
#include "model/geodesy/grid.hpp"
#include "model/geodesy/place.hpp"
#include "model/instrument/fit.hpp"
#include "model/instrument/reversal.hpp"
#include "model/sightings/columns.hpp"
#include "model/units/date.hpp"
#include "model/units/parameters.hpp"

namespace agonic::sightings {

enum class Target { line, sun, shadow };

/// A sighting with what follows from it. Parts that the row does not have are empty.
struct Sighting {
  std::uint64_t row = 0, line = 0;
  std::string id, instrument, observer, line_name;
  std::optional<Problem> problem;  ///< refused; then nothing else counts
  Target target = Target::line;
  bool backsight = false;
  std::string day;  ///< ISO; empty where neither date nor time was needed

  std::optional<double> needle_deg;  ///< azimuth as read minus what was set, [0, 360)
  double reading_sigma_deg = 0;      ///< of the azimuth: reading and graduation
  bool sigma_stated = false;
  std::optional<instrument::Observation> observation;  ///< with a known direction
  double declination_deg = 0, declination_sigma_deg = 0;
  bool site_declination = false;            ///< observed there, not the model's
  std::string model;                        ///< of the declination
  std::optional<double> lat_deg;            ///< with an observation
  std::optional<double> sun_elevation_deg;  ///< sun and shadow
  double clock_sigma_deg = 0;               ///< what time_sigma does to the sun's azimuth
  bool clock_stated = false;

  std::optional<instrument::ReversedPair> vertical;
  std::optional<instrument::ReversedPair> dip;  ///< the dip read the second way counts as its negative
};

/// How rows are read.
struct ReadRules {
  geodesy::Letters letters;
  DateOrder date_order = DateOrder::undeclared;
  std::chrono::sys_days today{};
  std::string model = "auto";
  bool typed = false;  ///< defaults were typed by a person: there an unsigned declination is refused
  std::array<std::string, kColumns> defaults;
};
/// Takes the columns' defaults and letters, date_order, model, decimal, delimiter out of the parameters of a call.
Result<ReadRules> parse_rules(const Parameters& parameters, std::chrono::sys_days today);

/// Checks every default by itself, so that a mistyped option is told before any row is.
std::optional<Problem> check_defaults(const ReadRules& rules);

/// Reads rows. Not to be shared between threads (it holds grids).
class Reader {
 public:
  Reader(const field::Catalogue& catalogue, geodesy::Grids& grids, const ReadRules& rules)
      : catalogue_(catalogue), grids_(grids), rules_(rules) {}
  Sighting read(const Row& row);

 private:
  const field::Catalogue& catalogue_;
  geodesy::Grids& grids_;
  const ReadRules& rules_;
};

}  // namespace agonic::sightings
