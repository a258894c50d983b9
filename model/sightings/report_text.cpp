#include <algorithm>
#include <cmath>

#include "model/sightings/report.hpp"
#include "model/units/number.hpp"
#include "model/units/prose.hpp"

namespace agonic::sightings {
namespace {

std::string with_sign(double value, int decimals = 2) {
  const std::string text = format_fixed(value, decimals);
  return text.front() == '-' ? text : "+" + text;
}

std::string right(const std::string& text, std::size_t width) {
  return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
}
std::string left(const std::string& text, std::size_t width) {
  return text + std::string(text.size() < width ? width - text.size() : 0, ' ');
}

std::string plural(std::size_t n, const char* word) { return std::to_string(n) + " " + word + (n == 1 ? "" : "s"); }

constexpr std::size_t kLineWidth = 96;

std::string with_code(const instrument::Remark& remark) { return remark.text + " [" + std::string(remark.code) + "]"; }

std::string azimuth_text(const instrument::AzimuthFit& fit) {
  const auto sigma = [&](std::size_t k) {
    return format_fixed(std::sqrt(fit.covariance.upper[instrument::IndexCovariance::at(k, k)]), 2);
  };
  const auto& c = fit.curve;
  std::string out;
  const std::string from = " from " + plural(fit.used, "sighting") +
                           (fit.left_out > 0 ? ", " + std::to_string(fit.left_out) + " left out" : "");
  if (fit.shape == instrument::Shape::constant) {
    out += "  azimuth index error  " + with_sign(c.a) + " +/- " + sigma(0) + " (1-sigma)" + from + "\n";
  } else {
    const double values[] = {c.a, c.b, c.c, c.d, c.e};
    out += "  azimuth index error  over the magnetic azimuth m, 1-sigma," + from + "\n   ";
    for (std::size_t k = 0; k < static_cast<std::size_t>(fit.shape); ++k)
      out += std::string(" ") + "ABCDE"[k] + " " + with_sign(values[k]) + " +/- " + sigma(k) + " ";
    out += "\n    at m";
    for (const double m : {0, 45, 90, 135, 180, 225, 270, 315})
      out += (m > 0 ? ", " : " ") + format_azimuth(m, 0) + ": " + with_sign(c.at(m), 1);
    out += "\n";
  }
  out += wrapped(fit.rule, "    ", "    ", kLineWidth);
  if (fit.dof > 0) out += "    one sighting scatters by " + format_fixed(fit.scatter_deg, 2) + " (1-sigma)\n";
  return out;
}

// To be pasted into a notebook or an option. A curve that is damage is no calibration.
std::string option_text(const InstrumentReport& one) {
  std::string out;
  const bool damaged = std::any_of(one.remarks.begin(), one.remarks.end(),
                                   [](const instrument::Remark& remark) { return remark.code == "magnetised"; });
  if (one.azimuth.fit && !damaged) {
    const auto& c = one.azimuth.fit->curve;
    const bool constant = one.azimuth.fit->shape == instrument::Shape::constant;
    out += " --azimuth-index-error ";
    out += constant ? format_fixed(c.a, 2)
                    : "\"" + format_fixed(c.a, 2) + " " + format_fixed(c.b, 2) + " " + format_fixed(c.c, 2) + " " +
                          format_fixed(c.d, 2) + " " + format_fixed(c.e, 2) + "\"";
  }
  if (one.vertical.fit) out += " --vertical-index-error " + format_fixed(one.vertical.fit->index_deg, 2);
  if (one.dip.fit) out += " --dip-index-error " + format_fixed(one.dip.fit->index_deg, 2);
  return out.empty() ? out : "  for 'agonic correct': " + out.substr(1) + "\n";
}

std::string instrument_text(const InstrumentReport& one) {
  std::string out =
      (one.instrument.empty() ? "The instrument" : "Instrument " + printable(one.instrument)) +
      (one.fit.first_date.empty()                ? ""
       : one.fit.first_date == one.fit.last_date ? ", " + one.fit.first_date
                                                 : ", " + one.fit.first_date + " to " + one.fit.last_date) +
      "\n";
  const auto refused = [](const char* what, const Problem& problem) {
    return wrapped(std::string(what) + " not found: " + problem.message + ". " + problem.remedy, "  ", "    ",
                   kLineWidth);
  };
  if (one.azimuth.problem) out += refused("azimuth index error ", *one.azimuth.problem);
  if (one.azimuth.fit) out += azimuth_text(*one.azimuth.fit);
  const auto pair = [&](const char* what, const char* kind, const Part<instrument::ReversalFit>& part) {
    if (part.problem) out += refused(what, *part.problem);
    if (part.fit)
      out += "  " + left(what, 21) + with_sign(part.fit->index_deg) + " +/- " + format_fixed(part.fit->sigma_deg, 2) +
             " from " + plural(part.fit->used, kind) +
             (part.fit->left_out > 0 ? ", " + std::to_string(part.fit->left_out) + " left out" : "") + "\n";
  };
  pair("vertical index error", "pair", one.vertical);
  pair("dip index error", "pair", one.dip);
  if (one.repeatability) out += wrapped(one.repeatability->statement, "  ", "    ", kLineWidth);
  for (const ObserverMean& mean : one.observers)
    out += "  observer " + printable(mean.observer) + ": " + with_sign(mean.residual_deg) + " on the mean of " +
           plural(mean.n, "sighting") + "\n";
  out += option_text(one);
  for (const auto& remark : one.remarks) out += wrapped(with_code(remark), "  - ", "    ", kLineWidth);
  return out;
}

std::string baseline_text(const Report& report) {
  if (report.baseline.problem)
    return wrapped(
        "Instruments not compared: " + report.baseline.problem->message + ". " + report.baseline.problem->remedy, "",
        "  ", kLineWidth);
  if (!report.baseline.fit) return {};
  std::string out = "Instruments on common lines: reading minus the mean of all\n";
  for (const auto& offset : report.baseline.fit->offsets)
    out += "  " + left(printable(offset.instrument), 20) + with_sign(offset.offset_deg) + " +/- " +
           format_fixed(offset.sigma_deg, 2) + "  n " + std::to_string(offset.n) +
           (offset.n > 1 ? ", spread " + format_fixed(offset.spread_deg, 2) : "") + "\n";
  for (const auto& remark : report.baseline.fit->remarks) out += wrapped(with_code(remark), "  - ", "    ", kLineWidth);
  return out;
}

struct Said {
  std::string numbers, mistakes;
};

// What the fits say of one sighting.
Said said(const Report& report, std::size_t i) {
  Said out;
  const auto add = [&](const auto& part, const char* what) {
    const auto at = std::find(part.sightings.begin(), part.sightings.end(), i);
    if (!part.fit || at == part.sightings.end()) return;
    const auto& outcome = part.fit->outcomes[static_cast<std::size_t>(at - part.sightings.begin())];
    out.numbers += right(with_sign(outcome.index_deg), 9) + right(with_sign(outcome.residual_deg), 10) + "  " + what;
    if (outcome.used) return;
    std::string mistake = std::string(word(outcome.blunder)) + ": " + std::string(meaning(outcome.blunder));
    if constexpr (requires { outcome.or_else; })
      for (const auto other : outcome.or_else)
        mistake += " Or " + std::string(word(other)) + ": " + std::string(meaning(other));
    if (out.mistakes.find(mistake) == std::string::npos) out.mistakes += (out.mistakes.empty() ? "" : " ") + mistake;
  };
  const std::string& instrument = report.sightings[i].instrument;
  for (const InstrumentReport& one : report.instruments) {
    if (one.instrument != instrument) continue;
    add(one.azimuth, "azimuth");
    add(one.vertical, "vertical");
    add(one.dip, "dip");
  }
  if (out.numbers.empty() || status(report, i) == "left_out") add(report.baseline, "baseline");
  return out;
}

}  // namespace

std::string to_text(const Report& report, bool all_sightings) {
  if (report.sightings.empty()) return "There are no sightings.\n";
  std::string out;
  for (const InstrumentReport& one : report.instruments)
    if (one.azimuth.fit || one.azimuth.problem || one.vertical.fit || one.vertical.problem || one.dip.fit ||
        one.dip.problem || one.repeatability)
      out += instrument_text(one);
  out += baseline_text(report);
  bool headed = false;
  for (std::size_t i = 0; i < report.sightings.size(); ++i) {
    const Sighting& s = report.sightings[i];
    const std::string_view state = status(report, i);
    if (!all_sightings && (state == "used" || state == "compared")) continue;
    if (!headed) {
      out += all_sightings ? "Sightings: reading minus truth, and what the fit leaves\n" : "Sightings to look at\n";
      headed = true;
    }
    const std::string where = (s.line > 0 ? "line " + std::to_string(s.line) : "row " + std::to_string(s.row)) +
                              (s.id.empty() ? "" : " (" + printable(s.id) + ")");
    if (s.problem) {
      Problem shown = *s.problem;
      shown.value = printable(shown.value);
      out += wrapped("refused: " + shown.text(), "  " + left(where, 16) + " ", "    ", kLineWidth);
      continue;
    }
    const Said what = said(report, i);
    if (all_sightings) out += "  " + left(where, 16) + what.numbers + "\n";
    if (!what.mistakes.empty())
      out += all_sightings ? wrapped("left out, " + what.mistakes, "    ", "    ", kLineWidth)
                           : wrapped("left out, " + what.mistakes, "  " + left(where, 16) + " ", "    ", kLineWidth);
  }
  return out;
}

}  // namespace agonic::sightings
