// The field card: one page of A4, black only, that folds to A6, for a place and a period or for a route.
//
// Values are gathered by gather() (which needs grids and models), and laid out by draw() and html(), which are plain
// sums and text: they read no file, ask no grid and know no PDF. The same drawing becomes PDF and PNG in paper_raster.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/instrument/registry.hpp"
#include "model/lookup/setting.hpp"
#include "model/paper/drawing.hpp"

namespace agonic::card {

/// An instrument as the card names it.
struct InstrumentPart {
  std::string id;
  std::vector<std::string> lines;  ///< "Azimuth index error +0.40 ± 0.20 (reading minus truth)"
};

/// A route instead of one place: the lookup answer is then that of the first stop.
struct RoutePart {
  std::string title;                            ///< "Landing to Depot, 2026-06-20 to 2026-07-02, 273 km"
  double low_deg = 0, high_deg = 0;             ///< of the declination, low in (-180, 180], high from there eastward
  double sigma_deg = 0, half_width_95_deg = 0;  ///< the largest
  instrument::Setting one;                      ///< the one setting that serves all
  double one_leftover_deg = 0;                  ///< the largest, with its sign
  std::string one_at;                           ///< where
  double tolerance_deg = 0;
  struct Anew {
    std::string from;  ///< "Ice edge, 2026-06-27"
    double set_to_deg = 0;
    instrument::Sense turn = instrument::Sense::none;
    double reads_along_needle_deg = 0;
  };
  std::vector<Anew> settings;
  struct Stop {
    std::string name, date;
    double declination_deg = 0;
    std::string needle;  ///< usable, caution, unusable
  };
  std::vector<Stop> stops;
  std::vector<std::string> notes;
};

/// Everything that stands on the card.
struct Sheet {
  lookup::SettingAnswer answer;
  std::string name;                 ///< of the place, as the user calls it; may be empty
  std::string grid_reference;       ///< "UTM 32N 461344 5481745"; empty where there is none
  std::optional<double> radius_km;  ///< within it the declination changes by less than kRadiusDeg
  std::string computed_on;          ///< ISO day
  std::optional<InstrumentPart> instrument;
  std::optional<RoutePart> route;
};

/// Within the radius on the card the declination differs by less than this from that at the place.
inline constexpr double kRadiusDeg = 0.5;
/// The radius is looked for up to here.
inline constexpr double kFarthestKm = 1000;

/// The parameters of a setting and: name (of the place), instrument (an id). Graduation and circle come from the
/// instrument's record where the parameters do not say.
/// @param instruments where ids are looked up; may be null
Result<Sheet> gather(const field::Catalogue& catalogue, geodesy::Grids& grids, const Parameters& parameters,
                     const instrument::Registry* instruments, std::chrono::sys_days today);

/// The radius about a place, in km, rounded down to two figures; empty where it reaches kFarthestKm, 0 below 100 m.
/// Looked at in 36 directions on a sphere, to about a tenth.
std::optional<double> radius_km(const field::CoefficientSet& model, const field::Spot& spot, double change_deg);

/// An A4 page in millimetres.
paper::Drawing draw(const Sheet& sheet);
/// The page as HTML that needs nothing else: no script, the drawing as SVG, @page A4, and the card as plain text
/// below, which is for reading aloud and is not printed.
Result<std::string> html(const Sheet& sheet);
/// The text of the card, line by line, as it stands on it.
std::string plain_text(const paper::Drawing& drawing);

}  // namespace agonic::card
