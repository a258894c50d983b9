// true = known, or known + convergence; magnetic = true - D; of the sun the shadow points away from it. The clock's
// 1-sigma becomes one of azimuth through the sun's rate.
#include <cmath>

#include "model/field/declination.hpp"
#include "model/reading/notation.hpp"
#include "model/sightings/sighting.hpp"
#include "model/survey/sun.hpp"
#include "model/units/number.hpp"
#include "model/units/yes.hpp"

namespace agonic::sightings {
namespace {

using instrument::Blunder;

constexpr double kUsualSigma = 0.5;      // degrees; common practice for hand compasses and clinometers
constexpr double kDeclinationTells = 1;  // below, a wrong sign of D or of a setting is not told from noise

constexpr const char* kTargets = "Give line, sun or shadow";
constexpr const char* kKnownNorths = "Give true or grid";
constexpr const char* kNorthReferences =
    "An index error is found from readings as they stand on the instrument: circle, or magnetic if its circle cannot "
    "be "
    "turned";

// The cells of one row with their defaults, as typed values. The first problem stays.
class Cells {
 public:
  Cells(const Row& row, const ReadRules& rules) : row_(row), rules_(rules) {}
  std::optional<Problem> problem;

  struct Cell {
    std::string_view text;
    char mark = '.';
    bool from_default = false;
    explicit operator bool() const { return !text.empty(); }
  };
  [[nodiscard]] Cell get(Column column) const {
    if (!row_[column].empty()) return {row_[column], row_.mark, false};
    return {rules_.defaults[static_cast<std::size_t>(column)], '.', true};
  }
  [[nodiscard]] bool own(Column column) const { return !row_[column].empty(); }

  void refuse(Problem what) {
    if (!problem) problem = std::move(what);
  }
  void refuse(Code code, Column column, std::string message, std::string remedy) {
    refuse(
        Problem{code, std::string(name(column)), std::string(get(column).text), std::move(message), std::move(remedy)});
  }
  /// The value of a Result, or its problem is kept.
  template <class T>
  std::optional<T> take(Result<T> result, Column column) {
    if (result) return *std::move(result);
    Problem what = result.problem();
    what.field = name(column);
    refuse(std::move(what));
    return std::nullopt;
  }
  std::optional<double> number(Column column, double low, double high, const char* unit) {
    const Cell cell = get(column);
    if (!cell) return std::nullopt;
    const auto value = parse_number(cell.text, cell.mark);
    if (value && *value >= low && *value <= high) return value;
    refuse(value ? Code::out_of_range : Code::not_a_number, column,
           std::string("this is a number of ") + unit + " from " + format_trimmed(low) + " to " + format_trimmed(high),
           "Correct it");
    return std::nullopt;
  }
  std::optional<double> angle(Column column, double most) {
    const Cell cell = get(column);
    if (!cell) return std::nullopt;
    const auto value = take(
        reading::parse_inclined(cell.text, reading::VerticalUnit::deg, name(column), {cell.mark, rules_.letters.o}),
        column);
    if (value && std::abs(*value) > most)
      refuse(Code::reading_out_of_range, column, "this is an angle of at most " + format_trimmed(most) + " degrees",
             "Correct it; up is positive");
    return value;
  }
  std::optional<double> azimuth(Column column, reading::AzimuthUnit unit) {
    const Cell cell = get(column);
    const auto value = take(reading::parse_azimuth(cell.text, unit, {cell.mark, rules_.letters.o}), column);
    return value ? std::optional(value->degrees) : std::nullopt;
  }
  std::optional<double> declination(Column column) {
    const Cell cell = get(column);
    if (!cell) return std::nullopt;
    if (lower(cell.text) == "unknown") {
      refuse(Code::set_declination_unknown, column, "it is not known", "Such a sighting tells nothing: leave it out");
      return std::nullopt;
    }
    const auto unsigned_means = cell.from_default && rules_.typed ? UnsignedMeans::refused : UnsignedMeans::east;
    return take(parse_declination(cell.text, {name(column), unsigned_means, rules_.letters.o, cell.mark}), column);
  }
  std::string word(Column column, std::initializer_list<std::string_view> words, const char* remedy) {
    std::string given = lower(get(column).text);
    if (given.empty()) return given;
    for (const auto known : words)
      if (given == known) return given;
    refuse(Code::unknown_name, column, "this word has no meaning here", remedy);
    return {};
  }
  [[nodiscard]] const ReadRules& rules() const { return rules_; }

 private:
  const Row& row_;
  const ReadRules& rules_;
};

void read_place(Cells& cells, geodesy::Place& place) {
  const auto text = cells.get(Column::place), lat = cells.get(Column::lat), lon = cells.get(Column::lon);
  const bool own = cells.own(Column::lat) || cells.own(Column::lon);
  if (text && !(text.from_default && own)) {
    if (own && !text.from_default)
      return cells.refuse(Code::contradiction, Column::place, "place and lat, lon are both filled", "Give one of them");
    if (auto parsed = cells.take(geodesy::parse_place(text.text, cells.rules().letters, text.mark), Column::place))
      place = *parsed;
    return;
  }
  if (!lat || !lon)
    return cells.refuse(Code::missing_value,
                        lat   ? Column::lon
                        : lon ? Column::lat
                              : Column::place,
                        "the place is missing: the declination and the sun depend on it", "Give place, or lat and lon");
  auto parsed = geodesy::parse_lat_lon(lat.text, lon.text, cells.rules().letters, lat.mark);
  if (parsed)
    place = *parsed;
  else
    cells.refuse(parsed.problem());
}

// The day for the declination, and for the sun the moment.
struct When {
  double decimal_year = 0;
  std::optional<survey::Moment> moment;
  std::string day;
};
When read_when(Cells& cells, bool moment_needed) {
  When out;
  const auto date_cell = cells.get(Column::date), time_cell = cells.get(Column::time);
  if (time_cell || moment_needed) {
    if (const auto moment =
            cells.take(survey::parse_moment(time_cell.text, cells.rules().today, false), Column::time)) {
      out.moment = moment;
      out.decimal_year = survey::decimal_year(moment->instant);
      out.day = iso_day(std::chrono::floor<std::chrono::days>(moment->instant));
      if (std::chrono::floor<std::chrono::days>(moment->instant) > cells.rules().today + std::chrono::days(1))
        cells.refuse(Code::date_future, Column::time, "the sighting lies in the future", "Look it up in the notebook");
    }
  }
  if (date_cell && (!out.moment || !date_cell.from_default)) {
    const auto date =
        cells.take(parse_date(date_cell.text, {cells.rules().today, cells.rules().date_order, "date"}), Column::date);
    if (!date) return out;
    if (date->earliest > cells.rules().today + std::chrono::days(1))
      cells.refuse(Code::date_future, Column::date, "the sighting lies in the future", "Look it up in the notebook");
    if (out.moment) {
      const auto off = std::chrono::floor<std::chrono::days>(out.moment->instant) - date->day;
      if (std::abs(off.count()) > 1)
        cells.refuse(Code::contradiction, Column::date, "date and time are not of the same day", "Keep the right one");
      return out;
    }
    out.decimal_year = date->decimal_year;
    out.day = iso_day(date->day);
  } else if (!out.moment) {
    cells.refuse(Code::date_missing, Column::date, "the date is missing: the declination depends on it",
                 "Give the date of the sighting, as 2026-07-01");
  }
  return out;
}

// Reading, unit, setting and their sigmas: what a sighting has whether its direction is known or not.
struct Needle {
  double reading_deg = 0, set_deg = 0, sigma_deg = 0;
  bool sigma_stated = false;
};
Needle read_needle(Cells& cells) {
  Needle out;
  reading::AzimuthUnit unit = reading::AzimuthUnit::deg;
  if (const auto cell = cells.get(Column::azimuth_unit))
    unit = cells.take(reading::parse_azimuth_unit(cell.text), Column::azimuth_unit).value_or(unit);
  out.reading_deg = cells.azimuth(Column::azimuth, unit).value_or(0);
  const std::string north = cells.word(Column::north_reference, {"circle", "magnetic"}, kNorthReferences);
  const auto set = cells.declination(Column::set_declination);
  if (north == "magnetic") {
    if (set.value_or(0) != 0 && cells.own(Column::set_declination))
      cells.refuse(Code::not_applicable, Column::set_declination, "a magnetic reading has nothing set",
                   "Say circle, or leave it out");
  } else if (set) {
    out.set_deg = *set;
  } else {
    cells.refuse(Code::set_declination_unknown, Column::set_declination, "what was set on the circle is not said",
                 "Give it; 0 = not set");
  }
  const auto sigma = cells.number(Column::reading_sigma, 0, 45, "degrees");
  const auto graduation = cells.number(Column::graduation, 0, 10, "degrees");
  out.sigma_stated = sigma && (*sigma > 0 || graduation.value_or(0) > 0);
  out.sigma_deg = std::hypot(out.sigma_stated ? *sigma : kUsualSigma, graduation.value_or(0) / std::sqrt(12.0));
  return out;
}

// A pair by reversal, if the row has one.
std::optional<instrument::ReversedPair> read_pair(Cells& cells, Column fore, Column back, Column sigma, double low) {
  const bool has_fore = bool(cells.get(fore)), has_back = bool(cells.get(back));
  if (!has_fore && !has_back) return std::nullopt;
  if (!has_fore || !has_back) {
    cells.refuse(Code::missing_value, has_fore ? back : fore, "one half of the reversal is missing", "Give both");
    return std::nullopt;
  }
  const auto a = cells.angle(fore, 90), b = cells.angle(back, 90);
  if (!a || !b) return std::nullopt;
  if (std::min(*a, *b) < low)
    cells.refuse(Code::reading_out_of_range, *a < low ? fore : back, "a dip is an angle from 0 to 90", "Correct it");
  const auto stated = cells.number(sigma, 0.001, 45, "degrees");
  const double turned = back == Column::dip_reversed ? -1 : 1;
  return instrument::ReversedPair{*a, turned * *b, stated.value_or(kUsualSigma), stated.has_value()};
}

}  // namespace

std::optional<Problem> check_defaults(const ReadRules& rules) {
  const Row nothing;
  Cells cells(nothing, rules);
  const auto given = [&](Column column) { return static_cast<bool>(cells.get(column)); };
  const auto degrees = reading::AzimuthUnit::deg;
  geodesy::Place place;
  if (given(Column::place) || (given(Column::lat) && given(Column::lon))) read_place(cells, place);
  if (given(Column::date) || given(Column::time)) read_when(cells, false);
  if (given(Column::known_azimuth)) cells.azimuth(Column::known_azimuth, degrees);
  if (given(Column::azimuth_unit))
    cells.take(reading::parse_azimuth_unit(cells.get(Column::azimuth_unit).text), Column::azimuth_unit);
  cells.word(Column::target, {"line", "sun", "shadow"}, kTargets);
  cells.word(Column::north_reference, {"circle", "magnetic"}, kNorthReferences);
  cells.word(Column::known_north, {"true", "grid"}, kKnownNorths);
  cells.take(parse_yes(cells.get(Column::backsight).text, "backsight"), Column::backsight);
  for (const Column column : {Column::set_declination, Column::site_declination}) cells.declination(column);
  for (const Column column : {Column::reading_sigma, Column::known_sigma, Column::vertical_sigma, Column::dip_sigma})
    cells.number(column, 0, 45, "degrees");
  cells.number(Column::site_declination_sigma, 0, 90, "degrees");
  cells.number(Column::graduation, 0, 10, "degrees");
  cells.number(Column::time_sigma, 0, 3600, "seconds");
  return cells.problem;
}

Sighting Reader::read(const Row& row) {
  Sighting out;
  out.row = row.row;
  out.line = row.line;
  Cells cells(row, rules_);
  out.id = cells.get(Column::id).text;
  out.instrument = cells.get(Column::instrument).text;
  out.observer = cells.get(Column::observer).text;
  out.line_name = cells.get(Column::line).text;
  if (row.problem) {
    out.problem = row.problem;
    return out;
  }
  const std::string target = cells.word(Column::target, {"line", "sun", "shadow"}, kTargets);
  out.target = target == "sun" ? Target::sun : target == "shadow" ? Target::shadow : Target::line;
  out.vertical = read_pair(cells, Column::vertical_fore, Column::vertical_back, Column::vertical_sigma, -90);
  out.dip = read_pair(cells, Column::dip, Column::dip_reversed, Column::dip_sigma, 0);
  const auto finish = [&] {
    out.problem = cells.problem;
    return out;
  };
  if (!cells.get(Column::azimuth)) {
    if (!out.vertical && !out.dip)
      cells.refuse(Code::missing_value, Column::azimuth, "there is no reading",
                   "Give azimuth, or vertical_fore and vertical_back, or dip and dip_reversed");
    if (cells.get(Column::date) || cells.get(Column::time)) out.day = read_when(cells, false).day;
    return finish();
  }

  const Needle needle = read_needle(cells);
  out.needle_deg = wrap_360(needle.reading_deg - needle.set_deg);
  out.reading_sigma_deg = needle.sigma_deg;
  out.sigma_stated = needle.sigma_stated;
  out.backsight =
      cells.take(parse_yes(cells.get(Column::backsight).text, "backsight"), Column::backsight).value_or(false);
  const bool of_sun = out.target != Target::line;
  if (!of_sun && !cells.get(Column::known_azimuth)) {
    if (out.line_name.empty())
      cells.refuse(Code::missing_value, Column::known_azimuth, "nothing is known of what was sighted",
                   "Give known_azimuth, or target=sun with the time, or the name of a line that others sighted too");
    if (cells.get(Column::date) || cells.get(Column::time)) out.day = read_when(cells, false).day;
    return finish();
  }
  if (of_sun && cells.own(Column::known_azimuth))
    cells.refuse(Code::contradiction, Column::known_azimuth, "the sun's azimuth is computed, not given",
                 "Leave one of known_azimuth and target out");

  geodesy::Place place;
  read_place(cells, place);
  double height = 0;
  if (const auto cell = cells.get(Column::height_m))
    height = cells.take(geodesy::parse_height(cell.text, cell.mark), Column::height_m).value_or(0);
  const When when = read_when(cells, of_sun);
  out.day = when.day;
  if (cells.problem) return finish();
  out.lat_deg = place.lat_deg;

  if (const auto site = cells.declination(Column::site_declination)) {
    out.declination_deg = *site;
    out.site_declination = true;
    out.declination_sigma_deg = cells.number(Column::site_declination_sigma, 0, 90, "degrees").value_or(0);
  } else {
    const auto field =
        field::field_answer(catalogue_, rules_.model, {place.lat_deg, place.lon_deg, height, when.decimal_year});
    if (!field) {
      Problem problem = field.problem();
      if (problem.code == Code::date_outside_models) problem.field = "date", problem.value = out.day;
      cells.refuse(std::move(problem));
      return finish();
    }
    if (field->needle == field::Needle::unusable) {
      cells.refuse(Code::needle_unusable, Column::place, "the needle has no direction there",
                   "Find the index error at lower latitude");
      return finish();
    }
    out.declination_deg = field->elements.declination_deg;
    out.declination_sigma_deg = field->sigma_deg;
    out.model = field->model->id;
  }

  // The true azimuth of what was sighted, and what is not known of it.
  double truth = 0, sigma = 0;
  std::vector<std::pair<Blunder, double>> other_truths;
  if (of_sun) {
    const survey::SunPlace where{place.lat_deg, place.lon_deg};
    const survey::Sun sun = survey::sun_at(where, when.moment->instant);
    if (!sun.up()) {
      cells.refuse(Code::contradiction, Column::time, "the sun was below the horizon then",
                   "Check the time, its offset, and the sign of the longitude");
      return finish();
    }
    const double turned = out.target == Target::shadow ? 180 : 0;
    truth = sun.azimuth.degrees() + turned;
    out.sun_elevation_deg = sun.elevation_deg;
    const auto clock = cells.number(Column::time_sigma, 0, 3600, "seconds");
    out.clock_stated = clock.has_value();
    out.clock_sigma_deg = clock.value_or(0) / 3600 * std::abs(sun.azimuth_rate_deg_per_hour);
    sigma = std::hypot(out.clock_sigma_deg, survey::kSunAccuracyDeg);
    for (const double hours : {-1.0, 1.0, std::round(place.lon_deg / 15)}) {
      if (hours == 0) continue;
      const survey::Sun other =
          survey::sun_at(where, when.moment->instant + std::chrono::duration<double>(hours * -3600));
      other_truths.emplace_back(Blunder::clock_hour, other.azimuth.degrees() + turned);
    }
  } else {
    truth = cells.azimuth(Column::known_azimuth, reading::AzimuthUnit::deg).value_or(0);
    const std::string north = cells.word(Column::known_north, {"true", "grid"}, kKnownNorths);
    if (north.empty() && !cells.problem)
      cells.refuse(Code::north_reference_missing, Column::known_north,
                   "from which north known_azimuth counts is not said", "Give true, or grid with crs");
    if (north == "grid") {
      const auto crs = cells.get(Column::crs);
      if (!crs)
        cells.refuse(Code::missing_value, Column::crs, "the grid of known_azimuth is not said", "Give crs, as UTM 32N");
      if (cells.problem) return finish();
      if (const auto grid = cells.take(grids_.at(crs.text, place.lat_deg, place.lon_deg), Column::crs))
        truth += grid->convergence_deg;
    }
    sigma = cells.number(Column::known_sigma, 0, 45, "degrees").value_or(0);
    if (std::abs(out.declination_deg) > kDeclinationTells) {
      other_truths.emplace_back(Blunder::known_magnetic, truth + out.declination_deg);
      other_truths.emplace_back(Blunder::declination_sign, truth + 2 * out.declination_deg);
    }
  }
  if (cells.problem) return finish();
  if (out.backsight) {
    truth += 180;
    for (auto& [blunder, other] : other_truths) other += 180;
  }

  instrument::Observation observation;
  observation.reading_deg = needle.reading_deg;
  observation.set_deg = needle.set_deg;
  observation.magnetic_deg = wrap_360(truth - out.declination_deg);
  observation.sigma_deg = std::hypot(needle.sigma_deg, sigma);
  observation.sigma_stated = needle.sigma_stated;
  for (const auto& [blunder, other] : other_truths)
    observation.mistakes.push_back(
        {blunder, wrap_180(needle.reading_deg - needle.set_deg - (other - out.declination_deg))});
  if (std::abs(needle.set_deg) > kDeclinationTells) {
    observation.mistakes.push_back(
        {Blunder::setting_sign, wrap_180(needle.reading_deg + needle.set_deg - observation.magnetic_deg)});
    observation.mistakes.push_back({Blunder::setting_absent, wrap_180(needle.reading_deg - observation.magnetic_deg)});
  }
  out.observation = std::move(observation);
  return finish();
}

}  // namespace agonic::sightings
