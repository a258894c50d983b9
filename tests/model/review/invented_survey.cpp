#include "tests/model/review/invented_survey.hpp"

#include <array>
#include <cmath>

#include "model/field/catalogue.hpp"
#include "model/field/declination.hpp"
#include "model/geodesy/grid.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::review {
namespace {

// The distributions of the standard library differ from library to library; this does not (Steele, Lea and Flood 2014,
// doi:10.1145/2660193.2660195).
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15U + 1) {}
  double uniform() {
    state_ += 0x9E3779B97F4A7C15U;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
    return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1p-53;
  }
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  std::size_t below(std::size_t n) { return static_cast<std::size_t>(uniform() * static_cast<double>(n)); }
  double normal(double sigma) {
    return sigma * std::sqrt(-2 * std::log(1 - uniform())) * std::cos(2 * kPi * uniform());
  }

 private:
  std::uint64_t state_;
};

struct Area {
  double lat, lon;
  const char* zone;
};
// Hills that are there, a survey that is not: declinations from 23 east to 17 west.
constexpr std::array kAreas{Area{58.42, -129.60, "9"}, Area{44.30, -70.90, "19"}, Area{64.90, -18.40, "27"},
                            Area{-41.30, 172.80, "59"}, Area{60.10, 21.90, "34"}};

constexpr int kFirstYear = 1995, kCampaigns = 8, kYearsBetween = 4;
constexpr int kLines = 24, kPlanesAt = 12;
constexpr std::array kObservers{"A.B.", "C.D.", "E.F."};
constexpr int kInstruments = 4;

double declination(double lat, double lon, double year) {
  static const field::Catalogue catalogue(field::built_in_texts());
  return field::field_answer(catalogue, "auto", {lat, lon, 0, year})->elements.declination_deg;
}

// How an instrument is used: set to the declination each spring, never set, or its readings made true by hand.
enum class Use { set, unset, by_hand };

struct Maker {
  Fault fault;
  Random random;
  Area area;
  bool utm;
  geodesy::Grids grids;
  std::array<double, kInstruments> index{};
  std::array<Use, kInstruments> use{};
  std::size_t bad = 0;
  double first_setting = 0;
  Survey out;
  std::uint64_t row = 0;

  Maker(Fault f, std::uint64_t seed) : fault(f), random(seed), area{} {
    const bool by_latitude = fault == Fault::places_swapped,
               drifting = fault == Fault::stale_written || fault == Fault::stale_silent;
    // Exchanged, a longitude beyond 90 is refused row by row: that needs no look at the file. Where the declination
    // hardly moves no setting grows stale.
    do area = kAreas[random.below(kAreas.size())];
    while ((by_latitude && std::abs(area.lon) > 90) || (drifting && area.lon > -100 && area.lat < 62));
    utm = fault == Fault::wrong_zone || random.uniform() < 0.2;
    if (by_latitude) utm = false;
    for (std::size_t k = 0; k < index.size(); ++k) {
      index[k] = random.normal(0.3);
      use[k] = static_cast<Use>(k % 3);
    }
    bad = random.below(kInstruments);
    if (fault == Fault::sign_applied || fault == Fault::not_corrected) use[bad] = Use::by_hand;
    if (fault == Fault::sign_written || fault == Fault::corrected_twice || drifting) use[bad] = Use::set;
  }

  std::string place(double lat, double lon, bool wrong) {
    if (!utm) {
      const std::string a = format_fixed(lat, 4), b = format_fixed(lon, 4);
      return wrong && fault == Fault::places_swapped ? b + " " + a : a + " " + b;
    }
    const std::string zone = area.zone;
    const auto at = grids.at("UTM " + zone + (lat < 0 ? "S" : "N"), lat, lon);
    const int number = std::stoi(zone) + (wrong && fault == Fault::wrong_zone ? 1 : 0);
    // The band letter would give the latitude twice; the hemisphere is said in full.
    return std::to_string(number) + (lat < 0 ? " south " : " north ") + format_fixed(at->easting_m, 0) + " " +
           format_fixed(at->northing_m, 0);
  }

  void add(const std::string& line, double lat, double lon, const std::string& date, double year, double azimuth_true,
           const std::string& dip, std::size_t tool, std::size_t observer, bool wrong_place) {
    const double d = declination(lat, lon, year);
    const bool faulty = tool == bad;
    double reading = azimuth_true - d + index[tool] + random.normal(0.7);  // from the needle
    std::string north = "circle", set = "0";
    double on_circle = 0;
    if (use[tool] == Use::set) {
      on_circle = std::round(declination(area.lat, area.lon, std::floor(year)) * 2) / 2;
      set = format_fixed(on_circle, 1);
    } else if (use[tool] == Use::by_hand) {
      north = "true";
      set.clear();
      on_circle = d;
    }
    bool planted = wrong_place;
    if (faulty) {
      switch (fault) {
        case Fault::sign_applied:
          on_circle = -d;
          break;
        case Fault::sign_written:
          set = format_fixed(-on_circle, 1);
          break;
        case Fault::corrected_twice:
          set = "0";
          break;
        case Fault::not_corrected:
          on_circle = 0;
          break;
        case Fault::stale_written:
        case Fault::stale_silent: {
          const double old = std::round(declination(area.lat, area.lon, kFirstYear) * 2) / 2;
          // In its first years it is not stale.
          planted = std::abs(old - d) > (fault == Fault::stale_written ? 0.5 : 1.5);
          on_circle = old;
          if (fault == Fault::stale_written) set = format_fixed(old, 1);
          break;
        }
        default:
          break;
      }
      if (fault != Fault::stale_written && fault != Fault::stale_silent && fault != Fault::places_swapped &&
          fault != Fault::wrong_zone && fault != Fault::none)
        planted = true;
    }
    reading += on_circle;
    if (faulty && fault == Fault::mirror_dial) reading = 360 - reading;
    ++row;
    if (planted) out.faulty.push_back(row);
    out.csv += std::to_string(row) + ",\"" + place(lat, lon, wrong_place) + "\"," + date + "," +
               format_azimuth(std::round(wrap_360(reading)), 0) + "," + dip + "," + north + "," + set + "," +
               kObservers[observer] + ",K" + std::to_string(tool + 1) + "," + line + "\n";
  }

  Survey make() {
    out.csv = "id,place,date,azimuth,dip,north_reference,set_declination,observer,compass,line\n";
    struct Line {
      double lat, lon, azimuth;
    };
    std::vector<Line> lines, outcrops;
    for (int i = 0; i < kLines; ++i)
      lines.push_back(
          {area.lat + random.uniform(-0.04, 0.04), area.lon + random.uniform(-0.04, 0.04), random.uniform(0, 360)});
    const std::size_t wrong_campaign = random.below(kCampaigns);
    for (int c = 0; c < kCampaigns; ++c) {
      const int year = kFirstYear + c * kYearsBetween;
      for (std::size_t team = 0; team < 2; ++team) {
        const std::size_t tool = (static_cast<std::size_t>(c) + 2 * team + random.below(2)) % kInstruments;
        const std::size_t observer = (static_cast<std::size_t>(c) + team) % kObservers.size();
        const int day = 5 + static_cast<int>(random.below(20)), month = 6 + static_cast<int>(team);
        const std::string date =
            std::to_string(year) + "-0" + std::to_string(month) + "-" + (day < 10 ? "0" : "") + std::to_string(day);
        const double when = year + (month - 0.5) / 12;
        const bool wrong = static_cast<std::size_t>(c) == wrong_campaign && team == 0 &&
                           (fault == Fault::places_swapped || fault == Fault::wrong_zone);
        for (int n = 0; n < 14; ++n) {
          const std::size_t l = random.below(lines.size());
          const Line& line = lines[l];
          // Some lines are read twice, to see how well one hand repeats.
          for (std::size_t again = random.below(4) == 0 ? 2 : 1; again > 0; --again)
            add("L" + std::to_string(l + 1), line.lat, line.lon, date, when, line.azimuth, "", tool, observer,
                wrong && n < 6);
        }
        for (int n = 0; n < kPlanesAt; ++n)
          add("", area.lat + random.uniform(-0.05, 0.05), area.lon + random.uniform(-0.05, 0.05), date, when,
              random.uniform(0, 360), std::to_string(15 + static_cast<int>(random.below(70))), tool, observer, false);
      }
    }
    return std::move(out);
  }
};

}  // namespace

std::string_view name(Fault fault) {
  constexpr std::array<std::string_view, kFaults> kNames{
      "nothing",        "sign, applied", "sign, written",  "corrected twice", "not corrected",
      "stale, written", "stale, silent", "places swapped", "mirror dial",     "wrong zone"};
  return kNames[static_cast<std::size_t>(fault)];
}

Survey invented_survey(Fault fault, std::uint64_t seed) { return Maker(fault, seed).make(); }

}  // namespace agonic::review
