// Declination with its uncertainty.
//
// WMM family: the error model published with each model. All else, and every 95 % figure: our own analysis of the
// annual means of about 500 observatories, 1840 to 2019, against gufm1 (before 1900) and igrf14; the median of each
// station and decade, quantile regression of |D observed - D model| as sqrt(a^2 + (b/H)^2) degrees, H in nT. Errors
// have a heavy tail (local rock), so that the 95 % figure is far more than twice the 1-sigma.

#include "model/field/declination.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "model/field/warnings.hpp"
#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::field {
namespace {

constexpr double kNoKnowledgeDeg = 180;

/// One row of the observatory analysis.
struct Evidence {
  double a68, b68;  // degrees, degrees nT
  double a95, b95;
};
constexpr Evidence kFrom1840{0.14, 5443, 0, 17189};     // gufm1
constexpr Evidence kFrom1900{0.12, 6589, 0.40, 24064};  // igrf14
constexpr Evidence kFrom1945{0.04, 5730, 0, 33232};     // igrf14

// Before 1840 there are no observatories. Added in quadrature to the 68 % figure, twice that to the 95 % figure:
// judgement, from the scatter of old series at Paris and London about the model.
constexpr double kAddedFrom1700Deg = 0.5;
constexpr double kAddedBefore1700Deg = 1.0;

// A tilt error beyond this per degree is worth a sentence: inclinations above 80 degrees. Judgement.

double half_width(double a_deg, double b_deg_nt, double h_nt, double added_deg) {
  if (!(h_nt > 0)) return kNoKnowledgeDeg;
  return std::min(kNoKnowledgeDeg, std::hypot(std::hypot(a_deg, b_deg_nt / h_nt), added_deg));
}

DeclinationUncertainty from_evidence(const Evidence& row, double h_nt, double added_deg, std::string_view basis) {
  return {half_width(row.a68, row.b68, h_nt, added_deg), half_width(row.a95, row.b95, h_nt, 2 * added_deg), basis};
}

std::string degrees(double value) { return format_fixed(value, 2) + (value == 1 ? " degree" : " degrees"); }

std::optional<Problem> refuse_spot(const Spot& spot) {
  const auto outside = [](double v, double low, double high) { return !(v >= low && v <= high); };
  const auto shown = [](double v) { return std::isfinite(v) ? format_trimmed(v, 9) : std::string("not finite"); };
  if (outside(spot.lat_deg, -90, 90)) {
    return Problem{Code::place_out_of_range, "lat", shown(spot.lat_deg), "a latitude lies from -90 to 90",
                   "Give degrees north of the equator, south negative."};
  }
  if (outside(spot.lon_deg, -180, 360)) {
    return Problem{Code::place_out_of_range, "lon", shown(spot.lon_deg), "a longitude lies from -180 to 360",
                   "Give degrees east of Greenwich, west negative."};
  }
  if (outside(spot.height_m, -10000, 850000)) {
    return Problem{Code::height_out_of_range, "height_m", shown(spot.height_m), "a height lies from -10000 to 850000 m",
                   "Give metres above the WGS84 ellipsoid."};
  }
  return std::nullopt;
}

// Some of the spots as columns, each at its own date or all at `year`.
class SomePoints {
 public:
  SomePoints(std::span<const Spot> spots, std::span<const std::size_t> which, std::optional<double> year = {})
      : size_(which.size()), column_(size_ * 4) {
    for (std::size_t i = 0; i < size_; ++i) {
      const Spot& spot = spots[which[i]];
      column_[i] = spot.lat_deg;
      column_[size_ + i] = spot.lon_deg;
      column_[2 * size_ + i] = spot.height_m;
      column_[3 * size_ + i] = year.value_or(spot.decimal_year);
    }
  }
  [[nodiscard]] Points points() const { return {of(0), of(1), of(2), of(3)}; }

 private:
  [[nodiscard]] std::span<const double> of(std::size_t k) const {
    return std::span<const double>(column_).subspan(k * size_, size_);
  }
  std::size_t size_;
  std::vector<double> column_;
};

std::vector<double> declinations(const CoefficientSet& model, const Points& points) {
  std::vector<double> d(points.lat_deg.size());
  FieldColumns out;
  out.declination_deg = d;
  evaluate_columns(model, points, out);
  return d;
}

bool serves(const CoefficientSet* model, double year) {
  return model != nullptr && year >= model->valid_from && year <= model->valid_to;
}

// D(newer) - D(older) at the join, into the answers that lie near one.
void add_seams(std::span<const Spot> spots, std::vector<Result<FieldAnswer>>& answers) {
  std::map<std::pair<const CoefficientSet*, const CoefficientSet*>, std::vector<std::size_t>> near;  // older, newer
  for (std::size_t i = 0; i < answers.size(); ++i) {
    if (!answers[i] || answers[i]->seam_neighbour == nullptr) continue;
    const FieldAnswer& a = *answers[i];
    const bool older = spots[i].decimal_year < a.seam_year;
    near[older ? std::pair(a.model, a.seam_neighbour) : std::pair(a.seam_neighbour, a.model)].push_back(i);
  }
  for (const auto& [pair, which] : near) {
    const double join = answers[which.front()]->seam_year;
    const SomePoints at_join(spots, which, join);
    const std::vector<double> older = declinations(*pair.first, at_join.points());
    const std::vector<double> newer = declinations(*pair.second, at_join.points());
    for (std::size_t k = 0; k < which.size(); ++k) {
      FieldAnswer& a = answers[which[k]].value();
      const double step = wrap_180(newer[k] - older[k]);
      a.seam_step_deg = step;
      a.sigma_deg = std::min(kNoKnowledgeDeg, std::hypot(a.sigma_deg, step));
      a.half_width_95_deg = std::min(kNoKnowledgeDeg, std::hypot(a.half_width_95_deg, step));
    }
  }
}

void add_small_scale(const Catalogue& catalogue, std::span<const Spot> spots,
                     std::vector<Result<FieldAnswer>>& answers) {
  const CoefficientSet* fine = catalogue.find("wmmhr2025");
  const CoefficientSet* smooth = catalogue.find("wmm2025");
  std::vector<std::size_t> which;
  for (std::size_t i = 0; i < answers.size(); ++i) {
    const double year = spots[i].decimal_year;
    if (answers[i] && serves(fine, year) && serves(smooth, year)) which.push_back(i);
  }
  if (which.empty()) return;
  const SomePoints served(spots, which);
  const std::vector<double> with = declinations(*fine, served.points());
  std::vector<Elements> without(which.size());
  evaluate(*smooth, served.points(), {}, without);
  for (std::size_t k = 0; k < which.size(); ++k) {
    const Elements& base = without[k];
    FieldAnswer& a = answers[which[k]].value();
    a.small_scale_deg = wrap_180(with[k] - base.declination_deg);
    a.small_scale_sigma_deg =
        declination_uncertainty(*smooth, spots[which[k]].decimal_year, base.horizontal_nt).sigma_deg;
  }
}

}  // namespace

Needle needle(double horizontal_nt) noexcept {
  if (!(horizontal_nt >= kNeedleUnusableNt)) return Needle::unusable;
  return horizontal_nt < kNeedleCautionNt ? Needle::caution : Needle::usable;
}

std::string_view word(Needle needle) noexcept {
  switch (needle) {
    case Needle::usable:
      return "usable";
    case Needle::caution:
      return "caution";
    case Needle::unusable:
      break;
  }
  return "unusable";
}

DeclinationUncertainty declination_uncertainty(const CoefficientSet& model, double decimal_year, double horizontal_nt) {
  const ErrorModel& published = model.declination_error;
  if (published.a_deg > 0 || published.b_deg_nt > 0) {
    return {half_width(published.a_deg, published.b_deg_nt, horizontal_nt, 0),
            half_width(kFrom1945.a95, kFrom1945.b95, horizontal_nt, 0), published.basis};
  }
  if (model.id == "gufm1") {
    if (decimal_year >= 1840) {
      return from_evidence(kFrom1840, horizontal_nt, 0, "annual means of observatories against gufm1, 1840 to 1900");
    }
    if (decimal_year >= 1700) {
      return from_evidence(kFrom1840, horizontal_nt, kAddedFrom1700Deg,
                           "annual means of observatories against gufm1, 1840 to 1900, with 0.5 degrees (1-sigma) and "
                           "1.0 degree (95 %) added in quadrature before 1840, by judgement");
    }
    return from_evidence(kFrom1840, horizontal_nt, kAddedBefore1700Deg,
                         "annual means of observatories against gufm1, 1840 to 1900, with 1.0 degree (1-sigma) and "
                         "2.0 degrees (95 %) added in quadrature before 1700, by judgement");
  }
  if (model.id == "igrf14") {
    if (decimal_year < 1945) {
      return from_evidence(kFrom1900, horizontal_nt, 0, "annual means of observatories against igrf14, 1900 to 1945");
    }
    return from_evidence(kFrom1945, horizontal_nt, 0, "annual means of observatories against igrf14, 1945 to 2019");
  }
  return from_evidence(kFrom1945, horizontal_nt, 0,
                       "no error model is known for this model: annual means of observatories against igrf14, 1945 to "
                       "2019, stand in");
}

std::vector<Result<FieldAnswer>> field_answers(const Catalogue& catalogue, std::string_view model,
                                               std::span<const Spot> spots, bool with_small_scale) {
  std::vector<Result<FieldAnswer>> answers;
  answers.reserve(spots.size());
  std::map<const CoefficientSet*, std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < spots.size(); ++i) {
    if (auto problem = refuse_spot(spots[i])) {
      answers.emplace_back(std::move(*problem));
      continue;
    }
    auto choice = catalogue.choose(model, spots[i].decimal_year);
    if (!choice) {
      answers.emplace_back(choice.problem());
      continue;
    }
    FieldAnswer answer;
    answer.model = choice->model;
    answer.seam_neighbour = choice->neighbour;
    answer.seam_year = choice->seam_year;
    answers.emplace_back(answer);
    groups[choice->model].push_back(i);
  }
  for (const auto& [set, which] : groups) {
    std::vector<FieldVector> vectors(which.size());
    std::vector<Elements> all_elements(which.size());
    evaluate(*set, SomePoints(spots, which).points(), vectors, all_elements);
    for (std::size_t k = 0; k < which.size(); ++k) {
      FieldAnswer& a = answers[which[k]].value();
      a.vector = vectors[k];
      a.elements = all_elements[k];
      const double h = a.elements.horizontal_nt;
      const DeclinationUncertainty u = declination_uncertainty(*set, spots[which[k]].decimal_year, h);
      a.sigma_deg = u.sigma_deg;
      a.half_width_95_deg = u.half_width_95_deg;
      a.sigma_basis = u.sigma_basis;
      a.needle = needle(h);
      a.tilt_error_deg_per_deg = h > 0 ? std::min(kLevelLostTilt, std::abs(a.vector.down_nt) / h) : kLevelLostTilt;
    }
  }
  add_seams(spots, answers);
  if (with_small_scale) add_small_scale(catalogue, spots, answers);
  return answers;
}

Result<FieldAnswer> field_answer(const Catalogue& catalogue, std::string_view model, const Spot& spot) {
  return std::move(field_answers(catalogue, model, {&spot, 1}, true).front());
}

std::vector<Warning> coded_warnings(const FieldAnswer& a) {
  std::vector<Warning> out;
  const double h = a.elements.horizontal_nt;
  if (a.needle == Needle::unusable) {
    out.push_back({"needle-unusable", "The horizontal field is " + format_fixed(h, 0) + " nT, below " +
                                          format_fixed(kNeedleUnusableNt, 0) +
                                          ": a needle does not show a direction here."});
  } else if (a.needle == Needle::caution) {
    out.push_back({"needle-caution", "The horizontal field is " + format_fixed(h, 0) + " nT, below " +
                                         format_fixed(kNeedleCautionNt, 0) + ": use a needle with caution here."});
  }
  if (h > 0 && a.tilt_error_deg_per_deg > kTiltWarning) {
    out.push_back({"tilt-critical", "Each degree off level turns the azimuth by up to " +
                                        degrees(a.tilt_error_deg_per_deg) +
                                        ": hold the compass level with great care."});
  }
  if (a.seam_step_deg && a.seam_neighbour != nullptr) {
    const bool older_first = a.model->valid_from < a.seam_neighbour->valid_from;
    const CoefficientSet& older = older_first ? *a.model : *a.seam_neighbour;
    const CoefficientSet& newer = older_first ? *a.seam_neighbour : *a.model;
    out.push_back({"model-seam", older.id + " and " + newer.id + " differ by " + degrees(std::abs(*a.seam_step_deg)) +
                                     " here at " + format_fixed(a.seam_year, 1) + "; added to the uncertainty."});
  }
  if (a.small_scale_deg && std::abs(*a.small_scale_deg) > a.small_scale_sigma_deg) {
    out.push_back({"small-scale-field", "The small-scale field, which wmm2025 leaves out, adds " +
                                            format_fixed(*a.small_scale_deg, 2) +
                                            " degrees to the declination here, more than the 1-sigma of wmm2025 (" +
                                            degrees(a.small_scale_sigma_deg) + ")."});
  }
  if (!(h > 0))
    out.push_back(
        {"declination-undefined", "The horizontal field is exactly zero here: the declination is undefined."});
  return out;
}

std::vector<std::string> warnings(const FieldAnswer& answer) {
  std::vector<std::string> out;
  for (Warning& warning : coded_warnings(answer)) out.push_back(std::move(warning.text));
  return out;
}

}  // namespace agonic::field
