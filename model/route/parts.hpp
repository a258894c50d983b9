// Inside of the route only: rules, the document as a table, the sheet that the writers write out.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/desk/parts.hpp"
#include "model/route/plan.hpp"
#include "model/route/route.hpp"
#include "model/route/sample.hpp"
#include "model/units/date.hpp"

namespace agonic::route {

/// What holds for the whole route.
struct Rules {
  std::string model = "auto";
  instrument::CircleKind circle;
  double tolerance_deg = 0.5;  ///< half a graduation where none is given
  bool tolerance_given = false;
  bool legs = false;
  bool force_unusable = false;
};
Result<Rules> rules_of(const Parameters& parameters);

/// The document as rows of texts, whatever it came as. Members of a JSON body are added to the parameters.
Result<desk::Table> table_of(const Request& request, Parameters& parameters);
Result<desk::Table> table_of_gpx(std::string_view text, const Parameters& parameters);
Result<desk::Table> table_of_geojson(std::string_view text);

/// A stop that reads well.
struct Stop {
  std::size_t row = 0;  ///< which row of the table, from 0
  std::string label;    ///< its name, or else "stop 3"
  Date date;
  field::Spot spot;
};
/// @param defaults date, height_m, letters, date_order of the route
Result<Stop> stop_of(const desk::Table& table, std::size_t row, const Parameters& defaults,
                     std::chrono::sys_days today);

/// Where the needle is weak, from one sample to another.
struct Zone {
  field::Needle needle = field::Needle::caution;
  std::size_t first = 0, last = 0;  ///< samples, both included
};

/// A setting and the samples it is for.
struct Leg {
  Stretch stretch;
  std::size_t first = 0, last = 0;  ///< samples, both included
};

struct Sheet {
  desk::Table table;
  std::vector<std::optional<Problem>> refused;  ///< one a row
  std::vector<Stop> stops;                      ///< the good ones
  std::vector<std::size_t> sample_of_stop;
  std::vector<Sample> samples;
  Rules rules;
  std::optional<OneSetting> one;  ///< empty where the needle is unusable everywhere
  std::size_t one_at = 0;         ///< the sample where most is left
  std::vector<Leg> settings;
  std::vector<std::optional<std::size_t>> setting_of_stop;  ///< which of the settings; empty where none
  std::vector<Zone> zones;
  std::vector<desk::Note> notes;

  double low_deg = 0, high_deg = 0;  ///< of the declination everywhere: the smallest arc
  double inclination_low_deg = 0, inclination_high_deg = 0;
  double sigma_deg = 0, half_width_95_deg = 0;  ///< the largest
  [[nodiscard]] bool used(std::size_t sample) const {
    return rules.force_unusable || samples[sample].field.needle != field::Needle::unusable;
  }
  /// "stop 3, 2026-06-02" or "km 120.3, 46.51500 7.25000, 2026-06-02".
  [[nodiscard]] std::string place_words(std::size_t sample, bool with_date = true) const;
  [[nodiscard]] std::string models() const;  ///< "igrf14, wmm2025"
};

/// The whole sheet of a document.
Result<Sheet> sheet_of(const field::Catalogue& catalogue, const Request& request);
void add_notes(Sheet& sheet);
std::vector<desk::Added> added_of(const Sheet& sheet);
std::string json_of(const Sheet& sheet, const std::vector<desk::Added>& added);
std::string text_of(const Sheet& sheet);
Result<std::string> profile_svg(const Sheet& sheet);
std::string date_of_year(double decimal_year);

}  // namespace agonic::route
