#include "model/route/card.hpp"

#include "model/route/parts.hpp"
#include "model/units/number.hpp"

namespace agonic::route {
namespace {

card::RoutePart part_of(const Sheet& sheet, const std::string& name) {
  card::RoutePart part;
  const Stop &first = sheet.stops.front(), &last = sheet.stops.back();
  part.title = (name.empty() ? first.label + (sheet.stops.size() > 1 ? " to " + last.label : "") : name) + ", " +
               first.date.iso.substr(0, 10) + " to " + last.date.iso.substr(0, 10) + ", " +
               format_fixed(sheet.samples.back().km, 0) + " km";
  part.low_deg = sheet.low_deg;
  part.high_deg = sheet.high_deg;
  part.sigma_deg = sheet.sigma_deg;
  part.half_width_95_deg = sheet.half_width_95_deg;
  part.one = sheet.one->setting;
  part.one_leftover_deg = sheet.one->largest_leftover_deg;
  part.one_at = sheet.place_words(sheet.one_at, false);
  part.tolerance_deg = sheet.rules.tolerance_deg;
  for (const Leg& leg : sheet.settings) {
    const auto& s = leg.stretch.setting;
    part.settings.push_back({sheet.place_words(leg.first), s.set_to_deg, s.turn, s.reads_along_needle_deg});
  }
  for (std::size_t i = 0; i < sheet.stops.size(); ++i) {
    const auto& field = sheet.samples[sheet.sample_of_stop[i]].field;
    part.stops.push_back({sheet.stops[i].label, sheet.stops[i].date.iso.substr(0, 10), field.elements.declination_deg,
                          std::string(field::word(field.needle))});
  }
  // What stands on the card anyway is not said twice.
  for (const desk::Note& note : sheet.notes)
    if (note.code != "ground-differs" && note.code != "declination-spread" && note.code != "hold-level")
      part.notes.push_back(note.text);
  return part;
}

}  // namespace

Result<card::Sheet> card_of(const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& given,
                            const instrument::Registry* instruments) {
  Request request = given;
  const auto taken = [&](const char* name) {
    const auto found = request.parameters.values.extract(name);
    return found.empty() ? std::string() : found.mapped();
  };
  const std::string name = printable(taken("name"), 60), instrument = taken("instrument"), crs = taken("crs");
  auto sheet = sheet_of(catalogue, request);
  if (!sheet) return sheet.problem();
  std::optional<std::size_t> here;
  for (std::size_t i = sheet->stops.size(); i-- > 0;)
    if (sheet->used(sheet->sample_of_stop[i])) here = i;
  if (!here || !sheet->one)
    return Problem{Code::needle_unusable,
                   "stops",
                   {},
                   "the needle is unusable at every stop",
                   "Use the sun or a known line; force_unusable=yes answers all the same"};
  const Stop& stop = sheet->stops[*here];
  Parameters where;
  auto& values = where.values;
  values["lat"] = format_trimmed(stop.spot.lat_deg, 9);
  values["lon"] = format_trimmed(stop.spot.lon_deg, 9);
  values["height_m"] = format_trimmed(stop.spot.height_m, 3);
  values["date"] = stop.date.iso;
  values["model"] = sheet->rules.model;
  values["graduation"] = format_trimmed(sheet->rules.circle.graduation_deg, 9);
  values["circle"] = !sheet->rules.circle.turnable                                  ? "fixed"
                     : sheet->rules.circle.figures == instrument::Figures::quadrant ? "quadrant"
                                                                                    : "azimuth";
  values["east_turn"] = std::string(instrument::word(sheet->rules.circle.east_turn));
  if (!crs.empty()) values["crs"] = crs;
  if (!instrument.empty()) values["instrument"] = instrument;
  if (sheet->rules.force_unusable) values["force_unusable"] = "yes";
  auto card = card::gather(catalogue, grids, where, instruments, request.today);
  if (!card) return card.problem();
  card.value().route = part_of(*sheet, name);
  return card;
}

}  // namespace agonic::route
